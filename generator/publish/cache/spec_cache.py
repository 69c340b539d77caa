"""Spec files that an earlier build read, and that say the same still: what they hold is taken from the store.

* Recalled   a mapper for `specs.read.read_bikes`
"""

from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from itertools import chain
from pathlib import Path

from generator.publish.cache.inputs import Inputs, digest
from generator.publish.cache.store import Store
from generator.publish.cache.worker_pool import shared
from generator.specs.read import SCHEMA, Found

LEAST = 100
"""Fewer files than this are read sooner than a crew is hired."""

TOGETHER = 25
"""Files that a process of the crew reads at a time."""


class Recalled:
    """Reads anew what it does not know; by several processes where that pays."""

    def __init__(self, store: Store, inputs: Inputs | None) -> None:
        self.store, self.inputs = store, inputs
        self._key = f"sheets\n{inputs.program}\n{inputs.bike(SCHEMA)}" if inputs else ""
        self._known: dict[tuple[str, str], Found] = {}
        """By name and hash of the file."""
        self.marks: dict[str, str] = {}
        """Hashes of the files as they were read, by slug."""
        self._changed = False

    def __call__(self, read: Callable[[Path], Found], paths: Sequence[Path]) -> Iterable[Found]:
        kept: dict[tuple[str, str], Found] = self.store.get(self._key) or {}
        marks = {path: mark for path in paths if (mark := self._mark(path))}
        known = {
            path: kept[path.name, mark] for path, mark in marks.items() if (path.name, mark) in kept
        }
        new = [path for path in paths if path not in known]
        for path, found in zip(new, _read(read, new), strict=True):
            known[path] = found
            if path in marks and not _is_still(path, marks[path]):
                del marks[path]
        self._known = {(path.name, mark): known[path] for path, mark in marks.items()}
        self._changed = self._known.keys() != kept.keys()
        self.marks = {path.stem: mark for path, mark in marks.items()}
        return [known[path] for path in paths]

    def keep(self) -> None:
        """Put into the store what was read: later, so that a build that is refused has written nothing."""
        if self._changed:
            self.store.put(self._key, self._known)

    def _mark(self, path: Path) -> str:
        """Hash of a file; empty where it was not taken."""
        return self.inputs.bike(path) if self.inputs and not path.is_symlink() else ""


def _is_still(path: Path, mark: str) -> bool:
    """Is a file what its hash was taken of?"""
    with suppress(OSError, ValueError):
        return digest(path) == mark
    return False


def _read(read: Callable[[Path], Found], paths: Sequence[Path]) -> Iterable[Found]:
    if len(paths) < LEAST:
        return map(read, paths)
    some = [paths[start : start + TOGETHER] for start in range(0, len(paths), TOGETHER)]
    return chain.from_iterable(shared(lambda each: list(map(read, each)), some))
