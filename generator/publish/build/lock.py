"""One build at a time for each output folder.

The lock is a file beside the output folder, held with `flock`: the kernel lets go of it when the
build ends in any way, a kill included. Its text is the number of the process that holds it.
"""

import errno
import fcntl
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from generator.publish.build.interrupt import undisturbed
from generator.publish.build.swap import beside
from generator.specs.problems import Problem, ProblemsFound


@contextmanager
def only_build(out: Path) -> Iterator[None]:
    """Hold the lock of `out` for as long as the block runs.

    Raises
    ------
    ProblemsFound
        When another build holds it, or when what bears its name is no file of ours.
    OSError
        When the lock file cannot be made.
    """
    path = beside(out, "lock")
    handle = None
    try:
        with undisturbed():
            handle = _hold(path, out)
        os.ftruncate(handle, 0)
        os.pwrite(handle, str(os.getpid()).encode(), 0)
        yield
    finally:
        if handle is not None:
            with undisturbed():
                with suppress(OSError):  # a lock that cannot be taken away is free all the same
                    path.unlink(
                        missing_ok=True
                    )  # still held: nobody else can hold a file of this name
                os.close(handle)


def _hold(path: Path, out: Path) -> int:
    while True:
        try:  # a repository may bring a link of this name, and what it leads to is not ours to write
            handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW | os.O_NONBLOCK, 0o644)
        except OSError as error:
            if error.errno in (errno.ELOOP, errno.EISDIR, errno.ENXIO):
                raise ProblemsFound([_no_lock(path)]) from error
            raise
        try:
            facts = os.fstat(handle)
            if not stat.S_ISREG(facts.st_mode) or facts.st_nlink > 1:
                raise ProblemsFound([_no_lock(path)])
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            if _same_file(handle, path):
                return handle
        except BlockingIOError:
            holder = os.pread(handle, 20, 0).decode("ascii", "replace").strip()
            who = f"process {holder}" if holder else "another process"
            os.close(handle)
            problem = Problem(
                str(out), 0, 0, f"{who} is building this folder", "Wait until it is done, or end it"
            )
            raise ProblemsFound([problem]) from None
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)


def _no_lock(path: Path) -> Problem:
    what = "this name is for the lock of a build, and here it is a link, a folder or no plain file"
    return Problem(str(path), 0, 0, what, "Delete it, in the repository too")


def _same_file(handle: int, path: Path) -> bool:
    """Is the locked file still the one that the path names? The last holder may have removed it."""
    try:
        there = path.stat()
    except FileNotFoundError:
        return False
    held = os.fstat(handle)
    return (held.st_dev, held.st_ino) == (there.st_dev, there.st_ino)
