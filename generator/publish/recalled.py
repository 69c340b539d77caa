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
        self._same = f"{inputs.program}\n{self._files.get(_inside(SCHEMA), '')}\n" if inputs else ""
        self.marks: dict[str, str] = {}
        self._new: dict[str, Found] = {}

    def __call__(self, read: Callable[[Path], Found], paths: Sequence[Path]) -> Iterable[Found]:
        known = {path: found for path in paths if (found := self._known(path)) is not None}
        new = [path for path in paths if path not in known]
        for path, found in zip(new, _read(read, new), strict=True):
            known[path] = found
            if _hash(path) == self._files.get(_inside(path)):  # as when its hash was taken
                self._new[self._key(path)] = found
                self._mark(path)
        return [known[path] for path in paths]

    def keep(self) -> None:
        """Put into the store what was read anew: later, so that a build that is refused has written nothing."""
        for key, found in self._new.items():
            self._store.put(key, found)
        self._new.clear()

    def _known(self, path: Path) -> Found | None:
        key = self._key(path)
        found: Found | None = self._store.get(key)
        if found is not None:
            self._mark(path)
        return found

    def _mark(self, path: Path) -> None:
        if self._key(path):
            self.marks[path.stem] = self._files[_inside(path)]

    def _key(self, path: Path) -> str:
        """Program, schema, name and content; empty where a file was not hashed."""
        digest = self._files.get(_inside(path))
        if digest is None or path.is_symlink():
            return ""
        return f"sheet\n{self._same}{path.name}\n{digest}"


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
