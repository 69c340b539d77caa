"""Ctrl-C, a polite `kill`, a closed terminal: each ends a command in the same way, by an exception.

* Interrupted     what is raised then, in the main thread
* interruptible   while this block runs, these signals are heard
* undisturbed     they wait until a step is done that must not be left half done
* deaf            for helper processes
"""

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

KINDS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)

_shields = 0
"""How many blocks that must not be disturbed the main thread is in."""
_waiting: int | None = None
"""The signal that came meanwhile."""


class Interrupted(BaseException):
    """No `Exception`, and no `KeyboardInterrupt` either, which libraries catch."""

    def __init__(self, number: int) -> None:
        super().__init__(signal.Signals(number).name)
        self.exit_code = 128 + number
        """As shells report a command that a signal ended: greater than 128 in POSIX.1-2024, Shell Command Language,
        2.8.2; the sum is common practice."""


@contextmanager
def interruptible() -> Iterator[None]:
    """Raise `Interrupted` at a signal. One that is ignored from birth, as under `nohup`, stays ignored."""
    before = {kind: signal.getsignal(kind) for kind in KINDS}
    for kind, handler in before.items():
        if handler is not signal.SIG_IGN:
            signal.signal(kind, _hear)
    try:
        yield
    finally:
        for kind, handler in before.items():
            signal.signal(kind, handler)


@contextmanager
def undisturbed() -> Iterator[None]:
    """A signal that comes within is raised at the end of the outermost block."""
    global _shields, _waiting
    _shields += 1
    try:
        yield
    finally:
        _shields -= 1
        if _waiting is not None and not _shields:
            number, _waiting = _waiting, None
            raise Interrupted(number)


def deaf() -> None:
    """Leave Ctrl-C to the parent process, and die of the other signals without a word."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    signal.signal(signal.SIGHUP, signal.SIG_DFL)


def _hear(number: int, frame: FrameType | None) -> None:
    global _waiting
    if not _shields:
        raise Interrupted(number)
    _waiting = number
