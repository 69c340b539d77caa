"""What a process does to the file system, counted, so that it can be ended or looked at before any change.

* changes    counts from now on, in this process
"""

import hashlib
import os
import signal
import sys
from pathlib import Path
from typing import Any

from tests.publish.site_on_disk import site_of

TOUCHES_DISK = {
    "os.mkdir",
    "os.rename",
    "os.remove",
    "os.rmdir",
    "os.link",
    "os.truncate",
    "shutil.rmtree",
}
"""Audit events just before the file system changes; opening to write is another, and the exchange announces itself as
dlsym. Source: the audit events table of Python's documentation."""

WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT


def changes(wishes: dict[str, Any], handle: int) -> None:
    """Count, and keep the number in the file behind `handle`; see `tests.publish.nursery` for the wishes."""
    me, counted = os.getpid(), 0
    last = wishes.get("die_at", 0)
    once, always = wishes.get("refuse_at", 0), wishes.get("refuse_from", sys.maxsize)
    code = wishes.get("errno", 0)
    look = _Look(*map(Path, wishes["watched"])) if "watched" in wishes else None

    def count(event: str, arguments: tuple[Any, ...]) -> None:
        nonlocal counted
        if not _touches(event, arguments) or os.getpid() != me:
            return
        counted += 1
        os.pwrite(handle, str(counted).encode(), 0)
        if counted == last:
            os.kill(me, signal.SIGKILL)
        if (counted == once or counted >= always) and _asks_the_disk(event, arguments):
            raise OSError(code, os.strerror(code), str(arguments[0]))
        if look:
            look(counted, arguments)

    sys.addaudithook(count)


def _touches(event: str, arguments: tuple[Any, ...]) -> bool:
    if event == "open":
        return isinstance(arguments[2], int) and bool(arguments[2] & WRITES)
    return event in TOUCHES_DISK or (event == "ctypes.dlsym" and "renameat2" in arguments)


def _asks_the_disk(event: str, arguments: tuple[Any, ...]) -> bool:
    """Is it the very call that a file system may refuse, and no announcement of several?"""
    on_disk = not isinstance(arguments[0], int) and arguments[0] != os.devnull
    return on_disk and event not in ("shutil.rmtree", "ctypes.dlsym")


class _Look:
    """Writes the state of a site before a change: always near the site itself, and now and then elsewhere."""

    EVERY = 10

    def __init__(self, site: Path, states: Path) -> None:
        self._site, self._states = site, states
        self._folder = -1

    def __call__(self, counted: int, arguments: tuple[Any, ...]) -> None:
        folder = self._site.stat().st_ino if self._site.exists() else 0
        paths = [str(one) for one in arguments]
        inside = f"{self._site}{os.sep}"
        near = any(path == str(self._site) or path.startswith(inside) for path in paths)
        near = near or "renameat2" in paths
        if near or folder != self._folder or counted % self.EVERY == 0:
            self._folder = folder
            with self._states.open("a") as file:
                file.write(f"{counted} {state(self._site)}\n")


def state(site: Path) -> str:
    """A hash of every name and byte below a folder."""
    digest = hashlib.sha256()
    for path, data in site_of(site).items():
        digest.update(f"{path}\n{len(data)}\n".encode() + data)
    return digest.hexdigest()
