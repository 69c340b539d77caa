"""The process that builds the site, separate from the one that serves it, so that neither waits for the other.

* Builder         starts the process, sends requests to it and receives its answers
* main            the loop of the process
* report_failure  a failure of the generator itself, as a problem
"""

import gc
import subprocess
import sys
import traceback
from collections.abc import Callable, Sequence
from contextlib import suppress
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from generator.publish.build.interrupt import deaf
from generator.specs import program
from generator.specs.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from generator.publish.watch.whole import Built, Site

END_TIMEOUT = 3.0
"""Longest time that the process may take to end by itself. [s]"""
_ABANDON = "stop"
Request = tuple[Path, ...] | str
"""Spec files of bikes whose pages are wanted first, empty for the whole site; or `_ABANDON` to abandon the last request."""


class BikePages(NamedTuple):
    """An answer: the pages of some bikes."""

    pages: dict[str, bytes]
    """By path."""


class FailedBuild(NamedTuple):
    """An answer: nothing was built because of problems."""

    problems: list[Problem]


class AbandonedBuild(NamedTuple):
    """An answer: the request was abandoned."""


class Builder:
    """The building process as its parent sees it. It answers requests in their order."""

    def __init__(self, root: Path) -> None:
        self._pipe, child_end = Pipe()
        with child_end:  # closed here, so that a read fails once the process has ended
            code = f"from {__name__} import main; main({child_end.fileno()}, {str(root)!a})"
            self._process = subprocess.Popen(
                [sys.executable, "-c", code],
                stdin=subprocess.DEVNULL,
                pass_fds=[child_end.fileno()],
                process_group=0,  # Ctrl-C is for the parent
            )

    def send_request(self, files: Sequence[Path] = ()) -> None:
        """Request the pages of these bikes, or without files the whole site. Raises OSError if the process has ended."""
        self._pipe.send(tuple(files))

    def abandon_request(self) -> None:
        """Abandon the last request. If it was already answered, the answer still comes."""
        with suppress(OSError):
            self._pipe.send(_ABANDON)

    def receive_answer(self) -> "Built | BikePages | FailedBuild | AbandonedBuild":
        """Wait for the next answer. Raises EOFError or OSError if the process has ended."""
        answer: Built | BikePages | FailedBuild | AbandonedBuild = self._pipe.recv()
        return answer

    def close(self) -> None:
        """End the process, by force if it takes longer than `END_TIMEOUT`."""
        self._pipe.close()
        try:
            self._process.wait(END_TIMEOUT)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()


def main(pipe_number: int, root: str) -> None:
    """Answer requests until the pipe is closed."""
    deaf()
    from generator.publish.watch.whole import Site

    site = Site(Path(root))
    with suppress(EOFError, OSError), Connection(pipe_number) as pipe:
        while True:
            request: Request = pipe.recv()
            if not isinstance(request, str):  # a `_ABANDON` here came after the answer
                pipe.send(_answer_request(site, request, pipe.poll))
                site.prepare()
                gc.collect()
                gc.freeze()  # so that a collection over the whole catalogue delays no saved page


def _answer_request(
    site: "Site", files: Sequence[Path], overtaken: Callable[[], bool]
) -> "Built | BikePages | FailedBuild | AbandonedBuild":
    """Build what is asked for. `overtaken` says whether the request has been abandoned."""
    from generator.publish.watch.whole import Overtaken

    try:
        return BikePages(site.ahead(files)) if files else site.whole(overtaken)
    except Overtaken:
        return AbandonedBuild()
    except ProblemsFound as found:
        return FailedBuild(list(found.problems))
    except Exception as error:
        return FailedBuild([report_failure(error)])


def report_failure(error: Exception) -> Problem:
    """A failure of the generator itself as a problem, with its place in the generator's code."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if Path(frame.filename).is_relative_to(program.PACKAGE)]
    last = (own or frames)[-1]
    place = (
        f"generator/{Path(last.filename).relative_to(program.PACKAGE).as_posix()}"
        if own
        else "generator"
    )
    line = (last.lineno or 0) if own else 0
    words = " ".join(str(error).split())[:200]
    what = f"the generator itself failed here, {type(error).__name__}: {words}"
    return Problem(place, line, 0, what, "Please report this line with the file that you saved")
