"""Work shared among processes: figures of parts of a catalogue, pages.

A process of the crew is a fork of this one, so it has the figures and templates at hand and nothing is sent to it but
what it is to do. That is safe before the first chart is drawn here (its engine does not survive a fork) and without
other threads; else, and for little work, everything is done here, with the same result.

* shared    like `map`
* Forked    a `pages.crew.Crew`
"""

import gc
import multiprocessing
import os
import sys
import threading
import traceback
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any, TypeVar

from generator.pages.crew import Job
from generator.pages.output import Output, Standing
from generator.pages.press import Press, Sheet
from generator.pages.witness import Asked
from generator.publish.interrupt import deaf, undisturbed
from generator.publish.ledger import Ledger
from generator.specs.problems import Problem, ProblemsFound

LEAST = 16
"""Fewer short jobs than this are not worth a crew."""
BATCH = 4
"""Jobs that a process takes at a time."""

T = TypeVar("T")
R = TypeVar("R")

Crew = dict[Connection, BaseProcess]
"""Processes, by the pipe to each."""
_CONTEXT = multiprocessing.get_context("fork")


def hands() -> int:
    """Processes that may work at once; 1 where forking is not safe."""
    if sys.platform != "linux" or threading.active_count() > 1 or "vl_convert" in sys.modules:
        return 1
    return len(os.sched_getaffinity(0))


def shared(function: Callable[[T], R], things: Sequence[T]) -> Iterable[R]:
    """The function of each thing, in order, worked out by several processes where that pays."""
    if len(things) < 2:
        return map(function, things)
    return _shared(function, things)


def _shared(function: Callable[[T], R], things: Sequence[T]) -> Iterator[R]:
    with begun(function, things) as results:
        yield from results


@contextmanager
def begun(function: Callable[[T], R], things: Sequence[T]) -> Iterator[Iterator[R]]:
    """The same, begun now and even for one thing: this process may do something else before it asks for the results."""
    with _at_work(function, things) as results:
        yield _in_order(results)


@contextmanager
def _at_work(
    function: Callable[[T], R], things: Sequence[T], early: range = range(0)
) -> Iterator[Iterator[tuple[int, R]]]:
    """Results with their places, each when it is there. Things at the `early` places are begun before all others.

    No queue and no thread stands between: whoever ends this at whatever moment waits for nobody.
    """
    crew: Crew = {}
    try:
        if things and hands() > 1:
            with undisturbed():  # a signal that was held back is raised at its end
                _hire(crew, function, things, min(hands(), len(things)))
        if not crew:
            yield enumerate(map(function, things))
            return
        late = (place for place in range(len(things)) if place not in early)
        waiting = iter([*early, *late])
        _send_out(crew, waiting)
        yield _results(crew, len(things), waiting)
    finally:
        with undisturbed():
            _send_home(crew)


def _hire(crew: Crew, function: Callable[[T], R], things: Sequence[T], count: int) -> None:
    """Add so many processes with the pipe to each, or as many as may be made."""
    for _ in range(count):
        try:
            ours, theirs = _CONTEXT.Pipe()
        except OSError:
            break
        with theirs:  # closed here, so that its end is heard when the process ends
            try:
                process = _CONTEXT.Process(target=_work, args=(function, things, theirs))
                process.start()
            except OSError:
                ours.close()
                break
        crew[ours] = process


def _send_out(crew: Crew, waiting: Iterator[int]) -> None:
    """Give each process a first thing."""
    try:
        for hired, first in zip(crew, waiting, strict=False):
            hired.send(first)
    except ConnectionError:
        raise ProblemsFound([_LOST]) from None


def _results(crew: Crew, count: int, waiting: Iterator[int]) -> Iterator[tuple[int, Any]]:
    """As they come; each process is given another thing as soon as it has told of one."""
    told_of = 0
    try:
        while told_of < count:
            ready: list[Any] = wait(list(crew))
            for pipe in ready:
                place, good, told = pipe.recv()
                if not good:
                    raise told
                if (following := next(waiting, None)) is not None:
                    pipe.send(following)
                told_of += 1
                yield place, told
    except (EOFError, ConnectionError):
        raise ProblemsFound([_LOST]) from None


def _in_order(results: Iterable[tuple[int, R]]) -> Iterator[R]:
    """Those that come too soon wait."""
    early: dict[int, R] = {}
    wanted = 0
    for place, told in results:
        early[place] = told
        while wanted in early:
            yield early.pop(wanted)
            wanted += 1


_LOST = Problem(
    "build",
    0,
    0,
    "a process that shared the work was ended from outside, perhaps because memory ran out",
    "Make room in memory and start again; what was there before is as it was",
)


def _send_home(crew: Crew) -> None:
    """End the crew at once: nobody waits for what they are at."""
    for process in crew.values():
        process.kill()
    for pipe, process in crew.items():
        process.join()
        pipe.close()


def _work(function: Callable[[T], R], things: Sequence[T], pipe: Connection) -> None:
    """What a process of the crew does until it is sent home."""
    _begin()
    while True:
        place = pipe.recv()
        try:
            told: tuple[int, bool, Any] = (place, True, function(things[place]))
        except Exception as error:
            error.add_note(traceback.format_exc())
            told = (place, False, error)
        pipe.send(told)


def _begin() -> None:
    """Leave Ctrl-C to the parent, and end with it however it ends.

    What the parent has made stays: a search for what is no longer used would write on every page of memory that both
    share, and so make them two. What is made here is searched, though the parent may do without.
    """
    gc.freeze()
    gc.enable()
    deaf()
    parent = multiprocessing.parent_process()

    def end() -> None:
        if parent is not None:
            parent.join()
        os._exit(1)

    threading.Thread(target=end, daemon=True).start()


@dataclass(frozen=True)
class _Made:
    """What a job made."""

    outputs: list[Output]
    sheets: list[Sheet]
    problems: list[Problem]
    used: set[Path]
    asked: Asked | None


class Forked:
    """Makes pages in several processes; `used` are the files of the cache that they asked for."""

    def __init__(self, used: set[Path], ledger: Ledger | None = None) -> None:
        self._used, self._ledger = used, ledger

    def __call__(
        self, press: Press, jobs: Sequence[Job], long: Sequence[Job]
    ) -> Iterator[Output | Standing]:
        to_do: tuple[list[Job], list[Job]] = ([], [])
        for some, left in zip((jobs, long), to_do, strict=True):
            for job in some:
                entry = self._ledger.standing(job) if self._ledger else None
                if entry is None:
                    left.append(job)
                    continue
                press.sheets += entry.sheets
                press.problems += entry.problems
                self._used |= entry.used
                yield from entry.files
        for job, made in self._made(press, *to_do):
            if self._ledger and not any(each.severity == "error" for each in made.problems):
                self._ledger.note(
                    job, made.outputs, made.sheets, made.problems, made.used, made.asked
                )
            yield from made.outputs

    def _made(
        self, press: Press, jobs: Sequence[Job], long: Sequence[Job]
    ) -> Iterator[tuple[Job, _Made]]:
        """Each job with what it made, as it comes; sheets and problems are with the press."""

        def make(job: Job) -> _Made:
            sheets, problems, before = len(press.sheets), len(press.problems), set(self._used)
            self._used.clear()
            outputs = list(job.make())
            used = set(self._used)
            self._used |= before
            asked = job.witness.asked() if job.witness and self._ledger else None
            return _Made(outputs, press.sheets[sheets:], press.problems[problems:], used, asked)

        def batch(some: Sequence[Job]) -> list[_Made]:
            found = [make(job) for job in some]
            for made in found:
                for output in made.outputs:
                    _ = output.digest  # worked out here, it goes along
            return found

        if (len(jobs) < LEAST and not long) or hands() == 1:
            for job in (*jobs, *long):
                yield job, make(job)
            return
        short = [jobs[start : start + BATCH] for start in range(0, len(jobs), BATCH)]
        batches = [*short, *([job] for job in long)]
        with _at_work(batch, batches, range(len(short), len(batches))) as results:
            for place, all_made in results:
                for job, made in zip(batches[place], all_made, strict=True):
                    press.sheets += made.sheets
                    press.problems += made.problems
                    self._used |= made.used
                    yield job, made
