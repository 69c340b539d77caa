"""What is shown now. Everything else puts files and problems here; the server reads them.

* Stage    safe to use from several threads
* Look     one moment of it
"""

import hashlib
import threading
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from generator.pages.frame import urls
from generator.specs.problems import Problem

ASSETS = "assets/"
"""What every page loads: a page is shown anew when one of these changes too."""


@dataclass(frozen=True)
class Look:
    """One moment of the stage."""

    turn: int
    """Grows with every change."""
    files: Mapping[str, bytes]
    """The site, by path; empty until the first build is done."""
    assets: str
    """Hash of the files that every page loads."""
    problems: tuple[Problem, ...] = ()
    """Errors in what was saved last. The files are then of the last good state."""
    closed: bool = False

    def found(self, path: str) -> str:
        """The path of the page or file that answers for `path`: itself, or the page of what is not there."""
        return path if path in self.files else urls.NOT_FOUND

    def identity(self, path: str) -> str:
        """Says by a hash what a browser sees at `path`; the same as long as that does not change."""
        found = self.found(path)
        data = self.files.get(found, b"")
        return hashlib.sha256(f"{found}\n{self.assets}\n".encode() + data).hexdigest()[:20]


class Stage:
    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._look = Look(0, {}, "")

    def look(self) -> Look:
        with self._changed:
            return self._look

    def wait(self, turn: int, seconds: float) -> Look:
        """The next moment after `turn`; after so many seconds the one that lasts."""
        with self._changed:
            self._changed.wait_for(lambda: self._look.turn != turn, seconds)
            return self._look

    def put(
        self,
        files: Mapping[str, bytes],
        problems: Sequence[Problem] = (),
        gone: Collection[str] = (),
    ) -> None:
        """Change some files of the site and take others away; the rest stays."""
        with self._changed:
            stay = {path: data for path, data in self._look.files.items() if path not in gone}
            self._set({**stay, **files}, problems)

    def tell(self, problems: Sequence[Problem]) -> None:
        """Tell problems; the files stay."""
        with self._changed:
            self._set(self._look.files, problems)

    def close(self) -> None:
        """Nothing more will come: whoever waits is let go."""
        with self._changed:
            look = self._look
            self._look = Look(look.turn + 1, look.files, look.assets, look.problems, True)
            self._changed.notify_all()

    def _set(self, files: Mapping[str, bytes], problems: Sequence[Problem]) -> None:
        look = self._look
        assets = hashlib.sha256()
        for path in sorted(path for path in files if path.startswith(ASSETS)):
            assets.update(path.encode() + b"\n" + files[path])
        errors = tuple(sorted(each for each in problems if each.severity == "error"))
        self._look = Look(look.turn + 1, files, assets.hexdigest(), errors, look.closed)
        self._changed.notify_all()
