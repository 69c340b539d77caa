"""Which paths an output may have, so that a site stays inside its folder on every file system; and how a file is known
again there.
"""

import os
import unicodedata

from generator.specs.problems import Problem

MANIFEST = ".built.json"
"""Lists the files that the build wrote; also the mark of a folder that the build may replace."""


States = dict[str, list[int]]
"""Size and time of every file of a site, by its path: as `make` and git look at files."""


def state(found: os.stat_result) -> list[int]:
    return [found.st_size, found.st_mtime_ns]


class Claimed:
    """The paths that a site has given away so far."""

    def __init__(self) -> None:
        self._files: dict[str, str] = {}
        self._folders: dict[str, str] = {}
        self._given: set[str] = set()
        """Folders as they are written, of files that were taken."""

    def refused(self, path: str) -> Problem | None:
        """Take `path` for a file. Returns a problem where that cannot be."""
        fault = self.claim(path)
        what = f"this path of the site {fault}"
        return Problem(path, 0, 0, what, "Choose another name") if fault else None

    def claim(self, path: str) -> str | None:
        """Take `path` for a file. Returns what is wrong with it, or None."""
        if fault := _shape(path):
            return fault
        parts = path.split("/")
        folders = ["/".join(parts[:count]) for count in range(len(parts) - 1, 0, -1)]
        if other := self._files.get(_folded(path)):
            return f"is the same file as `{other}` where capitals do not count"
        if _folded(path) in self._folders:
            return "is a folder and a file at once"
        for folder in folders:
            if folder in self._given:
                break  # and those that it lies in
            if other := self._files.get(_folded(folder)):
                return f"lies in `{other}`, which is a file"
            if self._folders.setdefault(_folded(folder), folder) != folder:
                other = self._folders[_folded(folder)]
                return f"lies in the same folder as `{other}` where capitals do not count"
        self._files[_folded(path)] = path
        self._given.update(folders)
        return None


_ODD = frozenset('\\:*?"<>|')


def _shape(path: str) -> str | None:
    parts = path.split("/")
    if path.startswith("/") or ".." in parts:
        return "leads out of the site"
    if "" in parts or "." in parts:
        return "is not written as a plain path such as `bikes/name/index.html`"
    if not (_ODD.isdisjoint(path) and path.isprintable()):
        return "has a sign that not every file system can hold"
    if path.startswith("."):
        return "begins with a dot, and those names are left to the host"
    return None


def _folded(path: str) -> str:
    return unicodedata.normalize("NFC", path).casefold()
