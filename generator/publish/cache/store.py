"""What earlier builds worked out, kept as it is in memory under the hash of what it was made from.

Reading such a file runs what it says (it is a pickle), so nothing is read that this user's own builds did not write:
every file is signed with the user's key (`secret`). One that was cut short, changed, renamed or brought from elsewhere
does not bear the signature, and is made anew. Whatever cannot be kept costs time and nothing else.
"""

import hashlib
import hmac
import os
import pickle
from contextlib import suppress
from pathlib import Path
from typing import Any

from generator.publish.cache import sealed, secret
from generator.publish.cache.committed import FOLDER, brought_along

_SIGNATURE = hashlib.sha256().digest_size


class Store:
    """Values by their keys. Without a folder nothing is kept, nor under an empty key."""

    def __init__(self, folder: Path | None, key: bytes) -> None:
        self._folder, self._key = folder, key
        self._asked: set[str] = set()

    @classmethod
    def of(cls, root: Path, name: str) -> "Store":
        """That of a publication, in a folder of this name; what came with its repository is not read."""
        key = None if brought_along(root, FOLDER) else secret.key()
        return cls(root / FOLDER / name if key else None, key or b"")

    def beside(self, name: str) -> "Store":
        """Another of the same publication, in a folder of this name."""
        return Store(self._folder and self._folder.with_name(name), self._key)

    def get(self, key: str) -> Any:
        """What was put there, or None."""
        if self._folder is None or not key:
            return None
        name = self._asked_for(key)
        with suppress(OSError):
            whole = (self._folder / name).read_bytes()
            signature, body = whole[:_SIGNATURE], whole[_SIGNATURE:]
            if hmac.compare_digest(signature, self._signature(name, body)):
                with suppress(Exception):  # of another version of a library
                    return pickle.loads(body)
        return None

    def has(self, key: str) -> bool:
        """Does anything stand there? Whether it can be read is another question."""
        return (
            self._folder is not None
            and bool(key)
            and (self._folder / self._asked_for(key)).exists()
        )

    def put(self, key: str, value: Any) -> None:
        if self._folder is None or not key:
            return
        name = self._asked_for(key)
        body = pickle.dumps(value, pickle.HIGHEST_PROTOCOL)
        sealed.put(self._folder / name, self._signature(name, body) + body)

    def want(self, key: str) -> None:
        """Keep what stands under a key, though it is not asked for now."""
        if key:
            self._asked_for(key)

    def forget_others(self) -> None:
        """Delete what was neither asked for nor wanted, nor put there."""
        if self._folder is None:
            return
        with suppress(OSError):
            for entry in os.scandir(self._folder):
                if entry.name not in self._asked:
                    with suppress(OSError):
                        os.unlink(entry.path)

    def _asked_for(self, key: str) -> str:
        """The file's name; kept in mind."""
        name = hashlib.sha256(key.encode("utf-8", "surrogateescape")).hexdigest()
        self._asked.add(name)
        return name

    def _signature(self, name: str, body: bytes) -> bytes:
        return hmac.digest(self._key, name.encode() + b"\n" + body, "sha256")
