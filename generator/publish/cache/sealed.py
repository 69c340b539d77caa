"""Files of `.cache`: whole or not at all, and with a seal that what was cut short, changed or misnamed does not fit.

* keep   write one; where that cannot be, it costs time and nothing else
* kept   what was written under a key, or None
* put    write one without a seal
"""

import hashlib
import os
from contextlib import suppress
from pathlib import Path


def keep(path: Path, key: str, body: bytes) -> None:
    put(path, _seal(key, body) + b"\n" + body)


def put(path: Path, whole: bytes) -> None:
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        half = path.with_suffix(f".{os.getpid()}")  # a build may be killed at any moment
        try:
            half.write_bytes(whole)
            half.replace(path)
        finally:
            half.unlink(missing_ok=True)


def kept(path: Path, key: str) -> bytes | None:
    with suppress(OSError):
        seal, _, body = path.read_bytes().partition(b"\n")
        if seal == _seal(key, body):
            return body
    return None


def _seal(key: str, body: bytes) -> bytes:
    return hashlib.sha256(key.encode() + b"\n" + body).hexdigest().encode()
