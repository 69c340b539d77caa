"""Work shared among processes: figures of parts of a catalogue, pages.

A process of the crew is a fork of this one, so it has the figures and templates at hand and nothing is sent to it but
what it is to do. That is safe before the first chart is drawn here (its engine does not survive a fork) and without
other threads; else, and for little work, everything is done here, with the same result.

* shared    like `map`
* Forked    a `pages.crew.Crew`
"""

import multiprocessing
import os
import sys
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from generator.pages.crew import Job, alone
from generator.pages.output import Output
from generator.pages.press import Press, Sheet
from generator.publish.interrupt import deaf
from generator.specs.problems import Problem, ProblemsFound

LEAST = 16
"""Fewer jobs than this are not worth a crew."""
BATCH = 4
"""Jobs that a process takes at a time."""

T = TypeVar("T")
R = TypeVar("R")

_job: Callable[[Any], Any] | None = None
"""What the processes of the crew do; set just before they are made, so that they have it from birth."""


def hands() -> int:
    """Processes that may work at once; 1 where forking is not safe."""
    if sys.platform != "linux" or threading.active_count() > 1 or "vl_convert" in sys.modules:
        return 1
    count = len(os.sched_getaffinity(0))
    return count if count > 1 and _have_semaphores() else 1


@cache
def _have_semaphores() -> bool:
    """Processes wait for each other by these; a container without a writable /dev/shm has none."""
    try:
        multiprocessing.get_context("fork").Lock()
    except (ImportError, OSError):
        return False
    return True


def shared(function: Callable[[T], R], things: Sequence[T]) -> Iterable[R]:
    """The function of each thing, in order, worked out by several processes where that pays."""
    count = min(hands(), len(things))
    return _forked(function, things, count) if count > 1 else map(function, things)


def _forked(function: Callable[[T], R], things: Sequence[T], count: int) -> Iterator[R]:
    global _job
    _job = function
    try:
        with ProcessPoolExecutor(
            count, mp_context=multiprocessing.get_context("fork"), initializer=_begin
        ) as pool:
            try:
                yield from _given_out(pool, function, things)
            except BaseException:
                _send_home()
                raise
    except BrokenProcessPool:
        raise ProblemsFound([_LOST]) from None
    finally:
        _job = None


def _given_out(
    pool: ProcessPoolExecutor, function: Callable[[T], R], things: Sequence[T]
) -> Iterable[R]:
    """The results in order; where no process may be made any more, they are worked out here."""
    try:
        return pool.map(_do, things)
    except BrokenProcessPool:
        raise
    except (OSError, RuntimeError):  # no more processes, or no thread to lead them
        _send_home()
        return map(function, things)


_LOST = Problem(
    "build",
    0,
    0,
    "a process that shared the work was ended from outside, perhaps because memory ran out",
    "Make room in memory and start again; what was there before is as it was",
)


def _send_home() -> None:
    """End the crew at once: nobody waits for what they are at, nor hears of it from the thread that led them."""
    usual = threading.excepthook
    threading.excepthook = lambda told: None if _leads(told.thread) else usual(told)
    for process in multiprocessing.active_children():
        process.terminate()


def _leads(thread: threading.Thread | None) -> bool:
    """Is it the thread of `ProcessPoolExecutor` that hands out work? It stumbles over workers that go."""
    return type(thread).__module__ == ProcessPoolExecutor.__module__


def _begin() -> None:
    """Leave Ctrl-C to the parent, and end with it however it ends."""
    deaf()
    parent = multiprocessing.parent_process()

    def end() -> None:
        if parent is not None:
            parent.join()
        os._exit(1)

    threading.Thread(target=end, daemon=True).start()


def _do(thing: Any) -> Any:
    assert _job is not None
    return _job(thing)


@dataclass(frozen=True)
class _Made:
    outputs: list[Output]
    sheets: list[Sheet]
    problems: list[Problem]
    used: set[Path]


class Forked:
    """Makes pages in several processes; `used` are the files of the cache that they asked for."""

    def __init__(self, used: set[Path]) -> None:
        self._used = used

    def __call__(self, press: Press, jobs: Sequence[Job]) -> Iterator[Output]:
        if len(jobs) < LEAST or hands() == 1:
            yield from alone(press, jobs)
            return

        def batch(some: range) -> _Made:
            sheets, problems, before = len(press.sheets), len(press.problems), set(self._used)
            outputs = [output for at in some for output in jobs[at]()]
            return _Made(
                outputs, press.sheets[sheets:], press.problems[problems:], self._used - before
            )

        batches = [
            range(start, min(start + BATCH, len(jobs))) for start in range(0, len(jobs), BATCH)
        ]
        for made in _forked(batch, batches, min(hands(), len(batches))):
            press.sheets += made.sheets
            press.problems += made.problems
            self._used |= made.used
            yield from made.outputs
