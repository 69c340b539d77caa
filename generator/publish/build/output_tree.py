"""Where the next site is got ready: an empty folder, or the site before last, most of which is as it must be.

After a swap, what stood in the place of the site is kept as the spare one. Files that are of both sites are the very same
file (`Standing`), so that a build after a small edit makes few files, and no folder, anew.

* Spare     the spare site of a folder; spare_of gives it
* laid      a folder to write the next site in
* keep      put a site that was swapped out aside, for the build after
"""

import os
import re
import shutil
import stat
from collections.abc import Iterator
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from generator.publish.build.paths import States, state
from generator.publish.build.swap import is_folder, remove
from generator.publish.cache.committed import FOLDER, brought_along, kept_of

_SPARE = re.compile(r"[0-9a-f]{64}")

Identity = tuple[int, int]
"""Of a file: of the disk, and on it."""


class Survey(NamedTuple):
    """What stands in a folder."""

    files: dict[str, Identity]
    folders: set[str]


class Spare:
    """Where the spare site of a folder is kept, if there is one. Nobody changes it before it is used."""

    def __init__(self, place: Path) -> None:
        self.place = place

    @cached_property
    def survey(self) -> Survey | None:
        """None where nothing stands that can be used. For a large site this takes a while, and may be asked ahead."""
        if not (is_folder(self.place.parent) and is_folder(self.place)):
            return None
        with suppress(OSError):
            return _surveyed(os.fspath(self.place))
        return None


class Ground:
    """The folder `new`, in which `survey` tells what stands; `old` is the site that stands meanwhile."""

    def __init__(self, new: Path, old: Path, survey: Survey | None = None) -> None:
        self._new, self._old = os.fspath(new), os.fspath(old)
        self._files = dict(survey.files) if survey else {}
        """That stand here from before, and that nobody has asked for so far."""
        self._folders = {"", *(survey.folders if survey else ())}
        """That stand here."""
        self._used = {""}
        """Of these, those of the new site."""
        self.states: States = {}
        """Of the new site's files."""

    def write(self, path: str, data: bytes) -> None:
        """Make the file at `path`, a new one whatever stood here: another site may have that."""
        self._free(path)
        with open(f"{self._new}/{path}", "xb") as file:
            file.write(data)
            file.flush()
            self.states[path] = state(os.fstat(file.fileno()))

    def stand(self, path: str) -> None:
        """Let the file of the old site at `path` stand here too."""
        now = f"{self._old}/{path}"
        found = os.lstat(now)
        if self._files.get(path) == _identity(found):
            del self._files[path]
            self._enter(path)
        else:
            self._free(path)
            then = f"{self._new}/{path}"
            try:
                os.link(now, then, follow_symlinks=False)
            except OSError:  # a file system that has no such names
                shutil.copy2(now, then, follow_symlinks=False)
                found = os.lstat(then)
        self.states[path] = state(found)

    def clear(self) -> None:
        """Delete what is left from before."""
        for path in self._files:
            os.unlink(f"{self._new}/{path}")
        self._files.clear()
        for folder in sorted(self._folders - self._used, reverse=True):  # the inner first
            os.rmdir(f"{self._new}/{folder}")
        self._folders &= self._used

    def _free(self, path: str) -> None:
        """See that nothing stands at `path`, and that the folders around it do."""
        self._enter(path)
        if path in self._folders:
            self._drop(path)
        elif self._files.pop(path, None):
            os.unlink(f"{self._new}/{path}")

    def _enter(self, path: str) -> None:
        """Make the folders that a file lies in."""
        for folder in _around(path):
            if folder in self._used:
                continue
            if self._files.pop(folder, None):
                os.unlink(f"{self._new}/{folder}")
            if folder not in self._folders:  # one that went meanwhile is not made anew
                os.mkdir(f"{self._new}/{folder}")
                self._folders.add(folder)
            self._used.add(folder)

    def _drop(self, folder: str) -> None:
        """Delete a folder from before."""
        shutil.rmtree(f"{self._new}/{folder}")
        self._folders = {each for each in self._folders if not _within(each, folder)}
        self._files = {
            path: file for path, file in self._files.items() if not _within(path, folder)
        }


def spare_of(root: Path, out: Path) -> Spare | None:
    """Among what the builds of a publication keep; None where that came with its repository. There is one at a time."""
    if brought_along(root, FOLDER):
        return None
    return Spare(kept_of(root, "spare", out))


def laid(staging: Path, out: Path, spare: Spare | None) -> Ground:
    """Make the folder `staging` for the site that will stand in `out`, of the spare one where that can be."""
    if spare is not None and spare.survey is not None:
        with suppress(OSError):
            spare.place.rename(staging)
            return Ground(staging, out, spare.survey)
    staging.mkdir()
    return Ground(staging, out)


def keep(site: Path, spare: Spare | None) -> None:
    """Put a site aside as the spare one, without what is not the build's; or delete it where it cannot be kept."""
    with suppress(OSError):
        if spare is not None:
            around = spare.place.parent
            around.mkdir(parents=True, exist_ok=True)
            if is_folder(around):  # no link, which might lead anywhere
                for other in filter(_SPARE.fullmatch, os.listdir(around)):
                    remove(around / other)
                for name in os.listdir(site):
                    if name.startswith("."):
                        remove(site / name)
                site.rename(spare.place)
                return
    shutil.rmtree(site, ignore_errors=True)  # the new site is in; `swap.recover` tries again


def _surveyed(top: str) -> Survey | None:
    """None where there is more than folders and files."""
    found = Survey({}, set())
    for inside, entries in _walk(top):
        for entry in entries:
            about = entry.stat(follow_symlinks=False)
            if stat.S_ISDIR(about.st_mode):
                found.folders.add(inside + entry.name)
            elif stat.S_ISREG(about.st_mode):
                found.files[inside + entry.name] = _identity(about)
            else:
                return None
    return found


def _walk(top: str) -> Iterator[tuple[str, list[os.DirEntry[str]]]]:
    """Each folder with what is in it: its path within, with a slash at its end, and its entries."""
    todo = [""]
    while todo:
        inside = todo.pop()
        with os.scandir(f"{top}/{inside}") as entries:
            found = list(entries)
        todo += [f"{inside}{one.name}/" for one in found if one.is_dir(follow_symlinks=False)]
        yield inside, found


def _around(path: str) -> Iterator[str]:
    """The folders that a file lies in, the outer first."""
    end = path.find("/")
    while end >= 0:
        yield path[:end]
        end = path.find("/", end + 1)


def _within(path: str, folder: str) -> bool:
    return path == folder or path.startswith(f"{folder}/")


def _identity(found: os.stat_result) -> Identity:
    return found.st_dev, found.st_ino
