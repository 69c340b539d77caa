"""Which files of a publication were saved: names, times and sizes are looked at a few times in a second.

That costs a few milliseconds for hundreds of files, and works alike on every system, in a container and on a
shared disk, whichever way an editor writes: in place, by a new file that takes the old one's name, or by deleting
and writing again.
"""

import os
from collections.abc import Callable, Iterator
from pathlib import Path

EVERY = 0.1
"""Time between two looks. [s]"""
FOLDERS = ("bikes", "content", "templates")

Seen = dict[Path, tuple[int, int, int]]
"""Time, size and number of each file."""


def seen(root: Path) -> Seen:
    """Every file of the publication that a site is made of."""
    found: Seen = {}
    for folder in FOLDERS:
        for entry in _entries(str(root / folder)):
            try:
                stat = entry.stat()
            except OSError:  # it went while we looked
                continue
            found[Path(entry.path)] = (stat.st_mtime_ns, stat.st_size, stat.st_ino)
    return found


def saved(before: Seen, now: Seen) -> frozenset[Path]:
    """Files that are new, gone or different."""
    every = before.keys() | now.keys()
    return frozenset(path for path in every if before.get(path) != now.get(path))


def settled(look: Callable[[], Seen], before: Seen, pause: Callable[[float], bool]) -> Seen:
    """The next look that differs from `before`, once nothing moves from one look to the next.

    `pause` waits so many seconds and says whether to stop; then the last look is the answer.
    """
    now = before
    while now == before:
        if pause(EVERY):
            return now
        now = look()
    while not pause(EVERY / 2) and (later := look()) != now:
        now = later
    return now


def counts(name: str) -> bool:
    """Is this a file that somebody wrote? Editors leave hidden files, locks and backups beside it."""
    return not (name.startswith((".", "#")) or name.endswith(("~", ".swp", ".swx", ".tmp", ".bak")))


def _entries(folder: str) -> Iterator["os.DirEntry[str]"]:
    try:
        entries = list(os.scandir(folder))
    except OSError:
        return
    for entry in entries:
        if not counts(entry.name):
            continue
        if entry.is_dir(follow_symlinks=False):
            yield from _entries(entry.path)
        else:
            yield entry
