"""Work shared among processes: figures of parts of a catalogue, pages.

A process of the crew is a fork of this one, so it has the figures and templates at hand and nothing is sent to it but
what it is to do. That is safe before the first chart is drawn here (its engine does not survive a fork) and without
other threads; else, and for little work, everything is done here, with the same result.

* shared    like `map`
* begun     the same, while this process does something else
* at_work   the same, in the order in which results come
"""

import gc
import multiprocessing
import os
import sys
import threading
import traceback
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import partial
from itertools import islice
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import Any, TypeVar

from generator.publish.build.interrupt import deaf, undisturbed
from generator.specs.problems import Problem, ProblemsFound

PLACE = 4
"""Of a place in its pipe; so many bytes are written and taken whole. [bytes]"""
MOST_LAID_OUT = 1000
"""Places that lie in their pipe at once, so that laying them out never waits: they fit into the smallest pipe that there
is, a page of 4,096 bytes. From pipe(7), pipe-user-pages-soft."""
LARGEST_PIPE = 1 << 20
"""Of the pipe for results, so that who works need not wait while the parent is at something else; the most that anybody
may ask for. From pipe(7), /proc/sys/fs/pipe-max-size. [bytes]"""

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
    with at_work(function, things) as results:
        yield _in_order(results)


@contextmanager
def at_work(
    function: Callable[[T], R], things: Sequence[T], early: range = range(0)
) -> Iterator[Iterator[tuple[int, R]]]:
    """Results with their places, each when it is there. Things at the `early` places are begun before all others.

    Places lie in a pipe from which every process takes the next as soon as it is free, and results in a pipe from each. No
    queue and no thread stands between: whoever ends this at whatever moment waits for nobody.
    """
    crew: Crew = {}
    try:
        with _places() as (take, lay_out):
            if things and hands() > 1 and take is not None:
                with undisturbed():  # a signal that was held back is raised at its end
                    _hire(crew, partial(_work, function, things, take), min(hands(), len(things)))
            if not crew:
                yield enumerate(map(function, things))
                return
            late = (place for place in range(len(things)) if place not in early)
            waiting = iter([*early, *late])
            lay_out(islice(waiting, MOST_LAID_OUT))
            yield _until_done(crew, len(things), lambda: lay_out(islice(waiting, 1)))
    finally:
        with undisturbed():
            _send_home(crew)


@contextmanager
def _places() -> Iterator[tuple[int | None, Callable[[Iterable[int]], object]]]:
    """The end of a pipe from which places are taken, and what lays them into the other; None where no pipe can be made."""
    try:
        take, give = os.pipe()
    except OSError:
        yield None, list
        return
    try:
        yield (
            take,
            lambda places: os.write(give, b"".join(at.to_bytes(PLACE, "little") for at in places)),
        )
    finally:
        os.close(take)
        os.close(give)


def _hire(crew: Crew, work: Callable[[Connection], None], count: int) -> None:
    """Add so many processes with the pipe from each, or as many as may be made."""
    for _ in range(count):
        try:
            ours, theirs = _CONTEXT.Pipe(duplex=False)
        except OSError:
            break
        with theirs:  # closed here, so that its end is heard when the process ends
            try:
                process = _CONTEXT.Process(target=work, args=(theirs,))
                process.start()
            except OSError:
                ours.close()
                break
        crew[ours] = process


def _until_done(crew: Crew, count: int, lay_out: Callable[[], object]) -> Iterator[tuple[int, Any]]:
    """All results as they come; who gave them goes home then, whatever whoever asked is at. `lay_out` lays out one more place."""
    told_of = 0
    while told_of < count:
        ready: list[Any] = wait(list(crew))
        for pipe in ready:
            try:
                place, good, told = pipe.recv()
            except (EOFError, OSError):  # ended before a result, or half way through one
                raise ProblemsFound([_LOST]) from None
            if not good:
                raise told
            lay_out()
            told_of += 1
            yield place, told
    with undisturbed():
        _send_home(crew)


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
    while crew:
        pipe, process = crew.popitem()
        process.join()
        pipe.close()


def _work(function: Callable[[T], R], things: Sequence[T], take: int, pipe: Connection) -> None:
    """What a process of the crew does until it is sent home."""
    _begin()
    import fcntl  # no forks, and no such module, elsewhere than on Linux

    with suppress(OSError):
        fcntl.fcntl(pipe.fileno(), fcntl.F_SETPIPE_SZ, LARGEST_PIPE)
    while True:
        place = int.from_bytes(os.read(take, PLACE), "little")
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
