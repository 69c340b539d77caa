"""A new file, whole or not at all, and never in the place of another.

* put_new    what `sketch` and `impact --record` write with
* created    the same for what nobody waits for
"""

import os
from contextlib import suppress
from pathlib import Path

from generator.publish.build.interrupt import undisturbed


def put_new(path: Path, data: bytes) -> None:
    """As `created`, with nothing left of it by a signal."""
    with undisturbed():
        created(path, data)


def created(path: Path, data: bytes, mode: int = 0o666) -> None:
    """Write `data` to `path`, and to the disk, before the name is there.

    On Linux the file has no name until it is finished, so that not even a kill leaves a part of it anywhere.

    Raises
    ------
    FileExistsError
        When the name is taken, by a link that leads nowhere too; what has it is left as it is.
    OSError
        When the file system refuses.
    """
    if not _without_a_name(path, data, mode):
        _beside(path, data, mode)


def _without_a_name(path: Path, data: bytes, mode: int) -> bool:
    """False where the system or the file system does not have such files."""
    if not hasattr(os, "O_TMPFILE"):
        return False
    folder = os.open(path.parent, os.O_RDONLY | os.O_DIRECTORY)
    try:
        try:
            handle = os.open(path.parent, os.O_TMPFILE | os.O_WRONLY, mode)
        except OSError:
            return False
        with os.fdopen(handle, "wb") as stream:
            _filled(stream.fileno(), data)
            try:  # naming the folder is what makes Python follow the link of the open file
                os.link(f"/proc/self/fd/{stream.fileno()}", path.name, dst_dir_fd=folder)
            except FileExistsError:
                raise
            except OSError:  # no /proc here
                return False
        with suppress(OSError):
            os.fsync(folder)
        return True
    finally:
        os.close(folder)


def _beside(path: Path, data: bytes, mode: int) -> None:
    half = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        handle = os.open(half, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
        try:
            _filled(handle, data)
        finally:
            os.close(handle)
        try:
            os.link(half, path)  # unlike a rename, this fails when the name is taken
        except FileExistsError:
            raise
        except OSError:  # a file system without links
            if os.path.lexists(path):
                raise FileExistsError(str(path)) from None
            half.replace(path)
    finally:
        half.unlink(missing_ok=True)


def _filled(handle: int, data: bytes) -> None:
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(handle, rest) :]
    os.fsync(handle)
