"""Hashes of everything that a site depends on: bikes, content, templates, this program, the packages that are installed,
and the day that `SOURCE_DATE_EPOCH` names. Imports nothing heavy: a build that finds nothing to do asks no more than this.

* inputs     the hashes, or None where they cannot be told
* digest     that of one file
"""

import hashlib
import json
import os
import stat
import sys
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from generator.publish.today import EPOCH
from generator.specs import program

_LARGEST = 64 * 1024 * 1024
"""A file beyond this is left to the build, which will say what is wrong with it. [bytes]"""


@dataclass(frozen=True)
class Inputs:
    """Hashes of what a site depends on."""

    program: str
    """Of this program, its templates and what is installed."""
    templates: str
    """Of the publication's own templates, and the day."""
    content: str
    bikes: Mapping[str, str]
    """Of each file there, by its name."""

    def bike(self, path: str | Path) -> str:
        """Of a file among the bikes, by its path; empty where there is none."""
        return self.bikes.get(f"/{Path(path).name}", "")

    @property
    def whole(self) -> str:
        told = json.dumps([self.program, self.templates, self.content, sorted(self.bikes.items())])
        return hashlib.sha256(told.encode()).hexdigest()


def inputs(root: Path) -> Inputs | None:
    """What the site of a publication depends on; None where a file cannot be read or is none."""
    try:
        return Inputs(
            _of(program.PACKAGE, program.TEMPLATES, told=(sys.version, *_installed())),
            _of(root / "templates", told=(os.environ.get(EPOCH, ""),)),
            _of(root / "content"),
            {name: digest(path) for path, name in _files(root / "bikes", "")},
        )
    except (OSError, ValueError):
        return None


def _of(*folders: Path, told: tuple[str, ...] = ()) -> str:
    """Hash of some words and of all files in some folders."""
    sums = hashlib.sha256(json.dumps(told).encode())
    for folder in folders:
        for path, inside in _files(folder, ""):
            sums.update(f"\n{inside}\n{digest(path)}".encode("utf-8", "surrogateescape"))
        sums.update(b"\n\n")
    return sums.hexdigest()


def digest(path: Path) -> str:
    """Hash of a file. OSError or ValueError where it cannot be read or is none."""
    return hashlib.sha256(_content(path)).hexdigest()


def _installed() -> list[str]:
    """Names of the installed packages with their versions."""
    found: set[str] = set()
    for entry in sys.path:
        with suppress(OSError):
            found.update(name for name in os.listdir(entry or ".") if name.endswith(".dist-info"))
    return sorted(found)


def _files(folder: Path, inside: str) -> Iterator[tuple[Path, str]]:
    """Every file under a folder, sorted, with its path inside."""
    if not folder.is_dir():
        return
    for entry in sorted(os.scandir(folder), key=lambda entry: entry.name):
        if entry.name == "__pycache__":
            continue
        name = f"{inside}/{entry.name}"
        if entry.is_dir(follow_symlinks=False):
            yield from _files(Path(entry.path), name)
        else:
            yield Path(entry.path), name


def _content(path: Path) -> bytes:
    found = path.stat()
    if not stat.S_ISREG(found.st_mode) or found.st_size > _LARGEST:
        raise ValueError("not a file to read whole")
    return path.read_bytes()
