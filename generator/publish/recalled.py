"""Spec files that an earlier build read, and that say the same still: what they hold is taken from the store.

* Recalled   a mapper for `specs.read.read_bikes`
"""

import hashlib
from collections.abc import Callable, Iterable, Sequence
from itertools import chain
from pathlib import Path

from generator.publish.crew import shared
from generator.publish.inputs import Inputs
from generator.publish.store import Store
from generator.specs.read import SCHEMA, Found

LEAST = 100
"""Fewer files than this are read sooner than a crew is hired."""

TOGETHER = 25
"""Files that a process of the crew reads at a time."""


class Recalled:
    """Reads anew what it does not know; by several processes where that pays.

    `marks` are the hashes of the files as they were read, by slug.
    """

    def __init__(self, store: Store, inputs: Inputs | None) -> None:
        self._store = store
        self._files = inputs.bikes if inputs else {}
        schema = self._files.get(_inside(SCHEMA), "")
        self._key = f"sheets\n{inputs.program}\n{schema}" if inputs else ""
        self._known: dict[tuple[str, str], Found] = {}
        """By name and hash of the file."""
        self.marks: dict[str, str] = {}
        self._changed = False

    def __call__(self, read: Callable[[Path], Found], paths: Sequence[Path]) -> Iterable[Found]:
        kept: dict[tuple[str, str], Found] = self._store.get(self._key) or {}
        marks = {path: mark for path in paths if (mark := self._mark(path))}
        known = {
            path: kept[path.name, mark] for path, mark in marks.items() if (path.name, mark) in kept
        }
        new = [path for path in paths if path not in known]
        for path, found in zip(new, _read(read, new), strict=True):
            known[path] = found
            if path in marks and _hash(path) != marks[path]:  # not what its hash was taken of
                del marks[path]
        self._known = {(path.name, mark): known[path] for path, mark in marks.items()}
        self._changed = self._known.keys() != kept.keys()
        self.marks = {path.stem: mark for path, mark in marks.items()}
        return [known[path] for path in paths]

    def keep(self) -> None:
        """Put into the store what was read: later, so that a build that is refused has written nothing."""
        if self._changed:
            self._store.put(self._key, self._known)

    def _mark(self, path: Path) -> str:
        """Hash of a file; empty where it was not taken."""
        return "" if path.is_symlink() else self._files.get(_inside(path), "")


def _read(read: Callable[[Path], Found], paths: Sequence[Path]) -> Iterable[Found]:
    if len(paths) < LEAST:
        return map(read, paths)
    some = [paths[start : start + TOGETHER] for start in range(0, len(paths), TOGETHER)]
    return chain.from_iterable(shared(lambda each: list(map(read, each)), some))


def _inside(path: str | Path) -> str:
    """As `Inputs.bikes` names a file of the folder."""
    return f"/{Path(path).name}"


def _hash(path: Path) -> str:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""
