"""Everything that a site depends on: bikes, content and templates of the publication, the program, the installed packages
and the day that `SOURCE_DATE_EPOCH` names.

Imports nothing heavy: a build that finds nothing to do asks no more than this.

* Inputs         fingerprints of all that, and the state of each file
* read_inputs    take them, or None where they cannot be taken
* changed_since  files of the publication that are not what they were
"""

import os
import stat
import sys
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from generator.publish.today import EPOCH
from generator.specs import program
from generator.specs.encoding import fingerprint

FOLDERS = ("bikes", "content", "templates")
"""Folders of a publication that its site is made of."""
_LARGEST = 64 * 1024 * 1024
"""A larger file is left to the build, which says what is wrong with it. [bytes]"""

State = tuple[int, int, int, int]
"""Size [bytes], time of the last change of content and of anything [ns], and number of a file."""


@dataclass(frozen=True)
class Inputs:
    """Fingerprints of what a site depends on."""

    program: str
    """Of the program, its templates, Python and the installed packages."""
    publication: str
    """Of all files of the publication, and the day."""
    templates: str
    """Of the publication's own templates and schemas, and the day."""
    states: Mapping[str, State] = field(repr=False)
    """State of each file of the publication, by its path within."""

    @property
    def whole(self) -> str:
        """Fingerprint of everything."""
        return fingerprint(self.program, self.publication)


def read_inputs(root: Path) -> Inputs | None:
    """Return what the site of a publication depends on; None where a file cannot be read, or is no plain file."""
    try:
        states = _states(root)
        found = {path: fingerprint(_content(root / path)) for path in states}
        day = os.environ.get(EPOCH, "")
        shape = {
            path: each
            for path, each in found.items()
            if path.startswith("templates/") or path.endswith(".schema.json")
        }
        return Inputs(
            _program_fingerprint(),
            fingerprint(day, sorted(found.items())),
            fingerprint(day, sorted(shape.items())),
            states,
        )
    except (OSError, ValueError):
        return None


def changed_since(inputs: Inputs, root: Path) -> list[str]:
    """Return paths of files of the publication that were written, added or deleted since, even if put back."""
    try:
        now = _states(root)
    except (OSError, ValueError):
        return [FOLDERS[0]]
    every = now.keys() | inputs.states.keys()
    return sorted(path for path in every if now.get(path) != inputs.states.get(path))


def _program_fingerprint() -> str:
    folders = (program.PACKAGE, program.TEMPLATES)
    files = {
        f"{place}/{inside}": fingerprint(_content(Path(path)))
        for place, folder in enumerate(folders)
        for path, inside in _files(str(folder), "")
    }
    return fingerprint(sys.version, _installed_packages(), sorted(files.items()))


def _installed_packages() -> list[str]:
    """Return names of the installed packages with their versions."""
    found: set[str] = set()
    for entry in sys.path:
        with suppress(OSError):
            found.update(name for name in os.listdir(entry or ".") if name.endswith(".dist-info"))
    return sorted(found)


def _states(root: Path) -> dict[str, State]:
    """Return the state of every file that a site is made of, by its path within the publication."""
    found: dict[str, State] = {}
    for folder in FOLDERS:
        for path, inside in _files(str(root / folder), folder):
            about = os.stat(path)
            found[inside] = (about.st_size, about.st_mtime_ns, about.st_ctime_ns, about.st_ino)
    return found


def _files(folder: str, inside: str) -> Iterator[tuple[str, str]]:
    """Yield every file under a folder in the order of names: its path, and its path within."""
    if not os.path.isdir(folder):
        return
    for entry in sorted(os.scandir(folder), key=lambda entry: entry.name):
        if entry.name == "__pycache__":
            continue
        name = f"{inside}/{entry.name}" if inside else entry.name
        if entry.is_dir(follow_symlinks=False):
            yield from _files(entry.path, name)
        else:
            yield entry.path, name


def _content(path: Path) -> bytes:
    found = path.stat()
    if not stat.S_ISREG(found.st_mode) or found.st_size > _LARGEST:
        raise ValueError(f"{path} is no file to read whole")
    return path.read_bytes()
