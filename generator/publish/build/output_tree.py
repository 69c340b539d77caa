"""The folder that the next site is written in: new files, and those that it shares with the site that stands.

A shared file is one file with two names (a hard link), so that a build after a small edit writes few files. No file of the
site that stands is ever written to.
"""

import os
import shutil
from pathlib import Path

from generator.publish.build.paths import States, state


class OutputTree:
    """The new folder `new`, beside `old`, the site that stands meanwhile."""

    def __init__(self, new: Path, old: Path) -> None:
        new.mkdir()
        self._new, self._old = os.fspath(new), os.fspath(old)
        self._folders = {""}
        """Folders that are there, by their path within."""
        self.states: States = {}
        """Size and time of each file that was put here."""

    def write(self, path: str, data: bytes) -> None:
        """Write a new file."""
        self._make_folders(path)
        with open(f"{self._new}/{path}", "xb") as file:
            file.write(data)
            file.flush()
            self.states[path] = state(os.fstat(file.fileno()))

    def share(self, path: str) -> None:
        """Take a file over from the site that stands."""
        self._make_folders(path)
        there, here = f"{self._old}/{path}", f"{self._new}/{path}"
        try:
            os.link(there, here, follow_symlinks=False)
        except OSError:  # a file system without hard links
            shutil.copy2(there, here, follow_symlinks=False)
        self.states[path] = state(os.lstat(here))

    def _make_folders(self, path: str) -> None:
        folder = path.rpartition("/")[0]
        if folder not in self._folders:
            self._make_folders(folder)
            os.mkdir(f"{self._new}/{folder}")
            self._folders.add(folder)
