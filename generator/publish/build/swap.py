"""A new folder in place of an old one, with no moment at which a reader sees half of either.

On Linux the two folders change places in one system call. Elsewhere, or on a file system without
that call, there are two renames; a build that is killed between them is mended by `recover`.
"""

import ctypes
import errno
import hashlib
import os
import shutil
from glob import escape
from pathlib import Path

RENAME_EXCHANGE = 2
"""Flag of Linux's renameat2: both names must exist and change places. From linux/fs.h."""

AT_FDCWD = -100
"""A relative path starts at the working folder. From linux/fcntl.h."""

LONGEST_NAME = 200
"""Of a folder whose neighbours are simply named after it; NAME_MAX in linux/limits.h is 255. [B]"""

_NOT_TO_BE_HAD = {errno.EINVAL, errno.ENOSYS, errno.ENOTSUP}


def staging_folder(out: Path) -> Path:
    """Where this process gets the next `out` ready: beside it, so on the same file system."""
    return beside(out, f"staging-{os.getpid()}")


def beside(out: Path, what: str) -> Path:
    """A hidden neighbour of `out`, such as `.site.lock`; a name that would be too long is cut, the same each time."""
    name, whole = out.name, os.fsencode(out.name)
    if len(whole) > LONGEST_NAME:
        name = f"{name[:45]}-{hashlib.sha256(whole).hexdigest()[:16]}"
    return out.parent / f".{name}.{what}"


def recover(out: Path) -> None:
    """Mend what a killed build left behind. Call it only while holding the lock of `out`."""
    set_aside = _set_aside(out)
    if out.exists() or not is_folder(set_aside):
        remove(set_aside)
    else:
        set_aside.rename(out)
    for leftover in out.parent.glob(f"{escape(beside(out, 'staging-').name)}*"):
        remove(leftover)


def is_folder(path: Path) -> bool:
    return path.is_dir() and not path.is_symlink()


def remove(path: Path) -> None:
    """What bears one of our names goes, whatever it is; a link goes, and what it leads to stays."""
    try:
        if is_folder(path):
            shutil.rmtree(path)
        else:
            path.unlink(missing_ok=True)
    except OSError as error:  # names a file within by its last part alone
        raise OSError(error.errno, error.strerror, str(path)) from error


def swap_in(staging: Path, out: Path) -> Path | None:
    """Put `staging` in the place of `out`; gives where that is now which stood there, if anything did."""
    if not out.exists():
        staging.rename(out)
        return None
    if exchange(staging, out):
        return staging
    set_aside = _set_aside(out)
    out.rename(set_aside)
    try:
        staging.rename(out)
    except OSError:
        set_aside.rename(out)
        raise
    return set_aside


def exchange(one: Path, other: Path) -> bool:
    """Let two folders change places in one step. False when the system has no such call."""
    renameat2 = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if renameat2 is None:
        return False
    if renameat2(AT_FDCWD, os.fsencode(one), AT_FDCWD, os.fsencode(other), RENAME_EXCHANGE) == 0:
        return True
    code = ctypes.get_errno()
    if code in _NOT_TO_BE_HAD:
        return False
    raise OSError(code, os.strerror(code), str(other))


def _set_aside(out: Path) -> Path:
    return beside(out, "previous")
