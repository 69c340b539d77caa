"""The process that builds, beside the one that shows: neither waits for the other, and it may share its work.

* Builder   the process, for the one that shows
* main      what the process does
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

PATIENCE = 3.0
"""How long the process may take to end by itself. [s]"""
_STOP = "stop"
Asked = tuple[Path, ...] | str
"""Files of bikes whose pages are wanted ahead, none for the whole site; or the word to leave that."""


class Ahead(NamedTuple):
    """Pages of some bikes, by path."""

    pages: dict[str, bytes]


class Refused(NamedTuple):
    """Something stands in the way."""

    problems: list[Problem]


class Left(NamedTuple):
    """What was asked for was left, as told."""


class Builder:
    """Answers come in the order of what was asked for."""

    def __init__(self, root: Path) -> None:
        self._pipe, theirs = Pipe()
        with theirs:  # closed here, so that its end is heard when the process ends
            code = f"from {__name__} import main; main({theirs.fileno()}, {str(root)!a})"
            self._process = subprocess.Popen(
                [sys.executable, "-c", code],
                stdin=subprocess.DEVNULL,
                pass_fds=[theirs.fileno()],
                process_group=0,  # Ctrl-C is for the one that shows
            )

    def ask(self, files: Sequence[Path] = ()) -> None:
        """For the pages of these bikes, or without files for the whole site. Raises OSError where the process is gone."""
        self._pipe.send(tuple(files))

    def leave(self) -> None:
        """What is asked for is of no use any more. Where the answer is on its way already, it comes."""
        with suppress(OSError):
            self._pipe.send(_STOP)

    def answer(self) -> "Built | Ahead | Refused | Left":
        """Raises EOFError or OSError where the process is gone."""
        answer: Built | Ahead | Refused | Left = self._pipe.recv()
        return answer

    def close(self) -> None:
        """End the process, by force if it takes long."""
        self._pipe.close()
        try:
            self._process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()


def main(pipe_number: int, root: str) -> None:
    """Answer until the pipe is closed."""
    deaf()
    from generator.publish.watch.whole import Site

    site = Site(Path(root))
    with suppress(EOFError, OSError), Connection(pipe_number) as pipe:
        while True:
            asked: Asked = pipe.recv()
            if not isinstance(asked, str):  # the word came after the answer
                pipe.send(_answer(site, asked, pipe.poll))
                site.prepare()
                gc.collect()
                gc.freeze()  # pages ahead are not to wait for a search of the catalogue


def _answer(
    site: "Site", files: Sequence[Path], overtaken: Callable[[], bool]
) -> "Built | Ahead | Refused | Left":
    from generator.publish.watch.whole import Overtaken

    try:
        return Ahead(site.ahead(files)) if files else site.whole(overtaken)
    except Overtaken:
        return Left()
    except ProblemsFound as found:
        return Refused(list(found.problems))
    except Exception as error:
        return Refused([ours(error)])


def ours(error: Exception) -> Problem:
    """A mistake of the generator's own, as a problem: the place in our code, and what to do."""
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
