"""The cache of what builds compute and draw: values by fingerprint, in the user's own cache folder.

It lies outside every publication, so none can bring entries along with its files, and only this user writes there. What is
read is data, checked against its hash, and never run. It may be deleted at any time; what cannot be kept costs time and
nothing else.
"""

import hashlib
import os
import stat
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import platformdirs

NAME = "bike-guide-generator"
MOST = 1_000_000_000
"""Size beyond which the entries that were not used for the longest time are deleted. [bytes]"""
KEPT = 0.75
"""Share of that size that is left then."""
_CHECK = 16
"""Length of the hash that each entry begins with. [bytes]"""


class Cache:
    """Bytes by key, a `fingerprint`. Safe to use from several processes: an entry is whole or not there."""

    def __init__(self, folder: Path | None) -> None:
        """Use a folder, which is made when something is put; without one nothing is kept."""
        self._folder = folder
        self._grown = False

    @classmethod
    def of_user(cls) -> "Cache":
        """Return the cache of this user; one that keeps nothing where the folder is not theirs alone to write."""
        folder = Path(platformdirs.user_cache_dir(NAME, appauthor=False))
        return cls(folder if folder.is_absolute() and _is_private(folder) else None)

    def get(self, key: str) -> bytes | None:
        """Return what was put under a key; None where it is not there or is damaged."""
        if self._folder is None:
            return None
        path = self._path(key)
        with suppress(OSError):
            whole = _read_file(path)
            check, body = whole[:_CHECK], whole[_CHECK:]
            if check == _hash(key, body):
                os.utime(path)
                return body
        return None

    def has(self, key: str) -> bool:
        """Whether something is kept under a key; it may be damaged."""
        return self._folder is not None and self._path(key).exists()

    def put(self, key: str, body: bytes) -> None:
        """Keep bytes under a key, in the place of what was there."""
        if self._folder is None:
            return
        path = self._path(key)
        half = path.with_name(f"{path.name}.{os.getpid()}")  # a build may be killed at any moment
        with suppress(OSError):
            if not self._folder.exists():
                self._folder.mkdir(parents=True, mode=0o700)
            path.parent.mkdir(exist_ok=True)
            try:
                half.write_bytes(_hash(key, body) + body)
                half.replace(path)
                self._grown = True
            finally:
                half.unlink(missing_ok=True)

    def get_or_make(self, key: str, make: Callable[[], bytes]) -> bytes:
        """Return what is kept under a key, or make and keep it."""
        body = self.get(key)
        if body is None:
            body = make()
            self.put(key, body)
        return body

    def prune(self, most: int = MOST) -> None:
        """Delete the entries that were not used for the longest time, where all of them are larger than `most` [bytes]."""
        if self._folder is None or not self._grown:
            return
        found = sorted(self._entries())
        size = sum(each for _, each, _ in found)
        if size <= most:
            return
        for _, each, path in found:
            if size <= KEPT * most:
                break
            with suppress(OSError):
                os.unlink(path)
                size -= each

    def _entries(self) -> Iterator[tuple[int, int, str]]:
        """Time of the last use, size [bytes] and path of each entry."""
        with suppress(OSError):
            for folder in os.scandir(self._folder):
                if folder.is_dir(follow_symlinks=False):
                    for entry in os.scandir(folder.path):
                        found = entry.stat(follow_symlinks=False)
                        yield found.st_mtime_ns, found.st_size, entry.path

    def _path(self, key: str) -> Path:
        assert self._folder is not None
        return self._folder / key[:2] / key


def _read_file(path: Path) -> bytes:
    """Return the bytes of a plain file. OSError for anything else, such as a link or a pipe."""
    handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
    with open(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError(f"{path} is no plain file")
        return file.read()


def _hash(key: str, body: bytes) -> bytes:
    return hashlib.blake2b(key.encode() + body, digest_size=_CHECK).digest()


def _is_private(folder: Path) -> bool:
    """Whether a folder is not there yet, or is this user's and nobody else may write in it."""
    try:
        found = folder.lstat()
    except FileNotFoundError:
        return True
    except OSError:
        return False
    others_write = found.st_mode & (stat.S_IWGRP | stat.S_IWOTH)
    return stat.S_ISDIR(found.st_mode) and found.st_uid == os.getuid() and not others_write
