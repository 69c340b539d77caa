"""The site that is shown now: the follower puts files and problems here, the server reads them.

* ShownSite     the current site; safe to use from several threads
* SiteSnapshot  an immutable snapshot of it
"""

import hashlib
import threading
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from generator.pages.frame import urls
from generator.specs.problems import Problem

ASSETS = "assets/"
"""Folder of the files that every page loads; a page is also reloaded if one of them changes."""


@dataclass(frozen=True)
class SiteSnapshot:
    """The site at one moment."""

    number: int
    """Number of the snapshot; grows with every change."""
    files: Mapping[str, bytes]
    """Files of the site by path; empty until the first build is finished."""
    assets: str
    """Hash of the files that every page loads."""
    problems: tuple[Problem, ...] = ()
    """Errors in the saved files. `files` then hold the last good site."""
    closed: bool = False

    def resolve_path(self, path: str) -> str:
        """The path of the file to serve for `path`: itself, or the page for missing files."""
        return path if path in self.files else urls.NOT_FOUND

    def hash_page(self, path: str) -> str:
        """A hash of all that a browser sees at `path`."""
        found = self.resolve_path(path)
        data = self.files.get(found, b"")
        return hashlib.sha256(f"{found}\n{self.assets}\n".encode() + data).hexdigest()[:20]


class ShownSite:
    """The current site, as a sequence of snapshots."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._snapshot = SiteSnapshot(0, {}, "")

    def take_snapshot(self) -> SiteSnapshot:
        """The current snapshot."""
        with self._changed:
            return self._snapshot

    def wait_for_change(self, number: int, seconds: float) -> SiteSnapshot:
        """The first snapshot after the one with this number; if there is none within so many seconds, the current one."""
        with self._changed:
            self._changed.wait_for(lambda: self._snapshot.number != number, seconds)
            return self._snapshot

    def update_files(
        self,
        files: Mapping[str, bytes],
        problems: Sequence[Problem] = (),
        gone: Collection[str] = (),
    ) -> None:
        """Add or replace some files, remove those in `gone`, and replace the problems."""
        with self._changed:
            stay = {path: data for path, data in self._snapshot.files.items() if path not in gone}
            self._replace({**stay, **files}, problems)

    def set_problems(self, problems: Sequence[Problem]) -> None:
        """Replace the problems; the files stay."""
        with self._changed:
            self._replace(self._snapshot.files, problems)

    def close(self) -> None:
        """End the sequence of snapshots: threads that wait return at once."""
        with self._changed:
            snapshot = self._snapshot
            self._snapshot = SiteSnapshot(
                snapshot.number + 1, snapshot.files, snapshot.assets, snapshot.problems, True
            )
            self._changed.notify_all()

    def _replace(self, files: Mapping[str, bytes], problems: Sequence[Problem]) -> None:
        snapshot = self._snapshot
        assets = hashlib.sha256()
        for path in sorted(path for path in files if path.startswith(ASSETS)):
            assets.update(path.encode() + b"\n" + files[path])
        errors = tuple(sorted(each for each in problems if each.severity == "error"))
        self._snapshot = SiteSnapshot(
            snapshot.number + 1, files, assets.hexdigest(), errors, snapshot.closed
        )
        self._changed.notify_all()
