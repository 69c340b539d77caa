"""Who makes the pages: one process by itself, or several.

* Job      makes some outputs, and may say what they depend on
* asking   a job of which its table is the witness
* seeing   a job that sees a few bikes and no other
* Crew     does many jobs, and gives their outputs
* alone    one by one, here
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Protocol

from generator.content.excerpts import Excerpt
from generator.pages.frame.output import Output, Standing
from generator.pages.frame.recorder import Witness
from generator.specs.bike import Bike

if TYPE_CHECKING:
    from generator.pages.frame.renderer import Renderer


@dataclass(frozen=True)
class Job:
    make: Callable[[], Iterable[Output]]
    reads: str = ""
    """Everything that its outputs depend on beside the program and the templates, told exactly: the same words give the
    same outputs. Empty: not told, so it is done every time.
    """
    witness: Witness | None = None
    """Notes what it asks of the catalogue while it is done: its outputs depend on that too, beside what `reads` tells."""


def asking(
    renderer: "Renderer",
    content: Excerpt,
    make: Callable[["Renderer"], Iterable[Output]],
    *more: object,
) -> Job:
    """A job that asks the catalogue for little: it stands while it would be answered the same.

    `make` is given the press that notes it and has this content, and must not have another; `more` is what it depends
    on beside.
    """
    mine, witness = renderer.noting(content)
    reads = renderer.reads([], _name(make), *more, content=content)
    return Job(partial(make, mine), reads, witness=witness)


def seeing(
    renderer: "Renderer",
    bikes: Sequence[Bike],
    make: Callable[["Renderer"], Iterable[Output]],
    *more: object,
) -> Job:
    """A job that sees these bikes alone, in this order, and of the content what is for pages of bikes; it stands while they
    are the same.

    `make` is given the press that has them, and must not have another; `more` is what it depends on beside.
    """
    return Job(partial(_seen, renderer, bikes, make), renderer.reads(bikes, _name(make), *more))


def _seen(
    renderer: "Renderer", bikes: Sequence[Bike], make: Callable[["Renderer"], Iterable[Output]]
) -> Iterable[Output]:
    return make(renderer.only(*bikes))


def _name(make: Callable[..., object]) -> str:
    function = make.func if isinstance(make, partial) else make
    return f"{function.__module__}.{function.__qualname__}"


class Crew(Protocol):
    def __call__(
        self, renderer: "Renderer", jobs: Sequence[Job], long: Sequence[Job]
    ) -> AbstractContextManager[Iterator[Output | Standing]]:
        """The outputs of all jobs, as they come; what the press notes on the way is noted in it then.

        Where several processes are at work they begin now, and whoever asked may do something else before it takes the
        outputs. The `long` ones are begun first where several processes are at work, so that nobody waits for one at the end. One
        that tells what it reads may be left out where its outputs stand in the site already, made from the same.
        """


@contextmanager
def alone(
    renderer: "Renderer", jobs: Sequence[Job], long: Sequence[Job]
) -> Iterator[Iterator[Output]]:
    yield (output for job in (*jobs, *long) for output in job.make())
