"""A key of this user's own, which signs what builds keep: what another hand wrote does not bear its signature.

It lies in the user's state folder (XDG Base Directory Specification 0.8), outside every publication, so it is neither
committed nor copied with one. Whoever can read it can run programs as this user anyway.

* key    32 bytes, or None where there is no place for them
"""

import os
import secrets
import stat
from contextlib import suppress
from pathlib import Path

from generator.publish.build.new_file import created

LENGTH = 32
"""As long as the hash of the signature, which RFC 2104 recommends. [bytes]"""


def key() -> bytes | None:
    """The key; made when there is none yet. One that others may read or write is not used."""
    folder = _folder() if os.name == "posix" else None  # elsewhere rights are told in other ways
    if folder is None:
        return None
    path = folder / "key"
    with suppress(OSError):
        if not path.is_symlink() and not path.exists():
            _make(path)
        return _read(path)
    return None


def _folder() -> Path | None:
    given = os.environ.get("XDG_STATE_HOME", "")
    if os.path.isabs(given):  # the specification has relative ones ignored
        return Path(given) / "bike-guide-generator"
    with suppress(RuntimeError):
        return Path.home() / ".local" / "state" / "bike-guide-generator"
    return None


def _make(path: Path) -> None:
    """Whole or not at all: another build may make it at the same time, and the first stays."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with suppress(FileExistsError):
        created(path, secrets.token_bytes(LENGTH), 0o600)


def _read(path: Path) -> bytes | None:
    with open(path, "rb", opener=lambda name, flags: os.open(name, flags | os.O_NOFOLLOW)) as file:
        found = os.fstat(file.fileno())
        ours = found.st_uid == os.getuid() and not found.st_mode & (stat.S_IRWXG | stat.S_IRWXO)
        body = file.read(LENGTH + 1)
    return body if ours and stat.S_ISREG(found.st_mode) and len(body) == LENGTH else None
