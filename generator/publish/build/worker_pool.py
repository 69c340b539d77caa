"""Processes that share the work of a build.

Workers are forks of the process that starts them: they have figures and templates at hand, and only what they are to do is
sent to them. That is safe on Linux, before this process has other threads and before the engine of the chart library runs
in it; elsewhere, and with one processor, the work is done here, with the same result.

The pool of `concurrent.futures` waits for ever where a worker is killed while it sends a result (memory may run out at any
moment), cannot be ended at once, and keeps threads that make the next fork unsafe. So here each worker has a pipe of its
own, whose end is heard when the worker ends, and there is no thread.

* count_workers        how many processes may work at once
* WorkerPool           does tasks, and gives their results as they come
* start_in_processes   the results of a function for many things, begun now
* map_in_processes     like `map`
"""

import gc
import multiprocessing
import os
import sys
import threading
import traceback
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import Any, NamedTuple, TypeVar

from generator.publish.build.interrupt import deaf, undisturbed
from generator.specs.problems import Problem, ProblemsFound

T = TypeVar("T")
R = TypeVar("R")

_LOST = Problem(
    "build",
    0,
    0,
    "a process that shared the work was ended from outside, perhaps because memory ran out",
    "Make room in memory and start again; what was there before is as it was",
)


class _Task(NamedTuple):
    number: int
    function: Callable[..., Any]
    args: tuple[Any, ...]


def count_workers() -> int:
    """Return how many processes may work at once; 1 where forking is not safe."""
    if sys.platform != "linux" or threading.active_count() > 1 or "vl_convert" in sys.modules:
        return 1
    return len(os.sched_getaffinity(0))


class WorkerPool:
    """Does tasks in processes that are forked when the first is submitted; here where there can be none.

    A task is sent to a worker that has nothing to do, so neither ever waits for the other to read.
    """

    def __init__(self) -> None:
        self._workers: dict[Connection, BaseProcess] = {}
        self._idle: list[Connection] = []
        self._waiting: deque[_Task] = deque()
        self._done: dict[int, tuple[bool, Any]] = {}
        """Whether each ended well, and its result or error; of tasks whose result nobody has asked for yet."""
        self._count = 0

    def submit(self, function: Callable[..., Any], *args: Any) -> int:
        """Begin a task as soon as a worker is free; gives its number. Function and arguments must be picklable."""
        if not self._count:
            self._start_workers()
        self._count += 1
        self._waiting.append(_Task(self._count, function, args))
        self._send_waiting()
        return self._count

    def results(self, numbers: Iterable[int]) -> Iterator[tuple[int, Any]]:
        """Yield number and result of these tasks as they end.

        Raises
        ------
        ProblemsFound
            When a worker was ended from outside. An error of a task is raised as it came.
        """
        wanted = dict.fromkeys(numbers)
        while wanted:
            number = next((each for each in wanted if each in self._done), None)
            if number is None:
                self._receive()
                continue
            del wanted[number]
            good, found = self._done.pop(number)
            if not good:
                raise found
            yield number, found

    def close(self) -> None:
        """End all workers at once, whatever they are at."""
        with undisturbed():
            for process in self._workers.values():
                process.kill()
            while self._workers:
                pipe, process = self._workers.popitem()
                process.join()
                pipe.close()

    def _start_workers(self) -> None:
        count = count_workers()
        with (
            undisturbed()
        ):  # a signal that comes meanwhile is raised at the end, when all are known
            for _ in range(count if count > 1 else 0):
                try:
                    ours, theirs = _CONTEXT.Pipe()
                except OSError:
                    break
                with theirs:  # closed here, so that its end is heard when the process ends
                    others = [ours, *self._workers]
                    try:
                        process = _CONTEXT.Process(target=_work, args=(theirs, others))
                        process.start()
                    except OSError:
                        ours.close()
                        break
                self._workers[ours] = process
        self._idle = list(self._workers)

    def _send_waiting(self) -> None:
        while self._waiting and self._idle:
            try:
                self._idle.pop().send(self._waiting.popleft())
            except OSError:
                raise ProblemsFound([_LOST]) from None

    def _receive(self) -> None:
        """Take at least one result, or do the next task here."""
        if not self._workers:
            task = self._waiting.popleft()
            self._done[task.number] = _run(task)
            return
        ready: list[Any] = wait(list(self._workers))
        for pipe in ready:
            try:
                number, outcome = pipe.recv()
            except (EOFError, OSError):  # ended before a result, or half way through one
                raise ProblemsFound([_LOST]) from None
            self._done[number] = outcome
            self._idle.append(pipe)
        self._send_waiting()


@contextmanager
def worker_pool() -> Iterator[WorkerPool]:
    """Give a pool for the length of a block."""
    pool = WorkerPool()
    try:
        yield pool
    finally:
        pool.close()


@contextmanager
def start_in_processes(function: Callable[[T], R], things: Sequence[T]) -> Iterator[Iterator[R]]:
    """Give what a function gives for each thing, in order; other processes begin now, and this one may do something else."""
    global _function
    _function = function
    with worker_pool() as pool:
        numbers = [pool.submit(_call, thing) for thing in things]

        def in_order() -> Iterator[R]:
            for number in numbers:
                for _, found in pool.results([number]):
                    yield found

        yield in_order()


def map_in_processes(function: Callable[[T], R], things: Sequence[T]) -> Iterator[R]:
    """Yield what a function gives for each thing, in order, computed by several processes where that pays."""
    if len(things) < 2:
        yield from map(function, things)
        return
    with start_in_processes(function, things) as results:
        yield from results


_CONTEXT = multiprocessing.get_context("fork")

_function: Callable[[Any], Any] | None = None
"""What `start_in_processes` calls; workers have it by the fork, so it need not be sent."""


def _call(thing: Any) -> Any:
    assert _function is not None
    return _function(thing)


def _run(task: _Task) -> tuple[bool, Any]:
    try:
        return True, task.function(*task.args)
    except Exception as error:
        return False, error


def _work(pipe: Connection, others: Sequence[Connection]) -> None:
    """Do the tasks that come; `others` are the parent's ends of all pipes, which the fork has open too."""
    for other in others:
        other.close()
    _begin_worker()
    while True:
        task: _Task = pipe.recv()
        good, found = _run(task)
        if not good:
            found.add_note("".join(traceback.format_exception(found)))
        pipe.send((task.number, (good, found)))


def _begin_worker() -> None:
    """Leave Ctrl-C to the parent, and end with it however it ends.

    What the parent has made stays: a search for reference cycles would write on every page of memory that both share.
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
