"""Who makes the pages: one process by itself, or several.

* Job      makes some outputs
* Crew     does many jobs, and gives their outputs in order
* alone    one by one, here
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Protocol

from generator.pages.output import Output

if TYPE_CHECKING:
    from generator.pages.press import Press

Job = Callable[[], Iterable[Output]]


class Crew(Protocol):
    def __call__(
        self, press: "Press", jobs: Sequence[Job], long: Sequence[Job]
    ) -> Iterator[Output]:
        """The outputs of all jobs, in order; what the press notes on the way is noted in it.

        The `long` ones come last, and are begun first where several processes are at work: nobody waits for one at the
        end then, and no output of the many others is kept waiting for theirs.
        """


def alone(press: "Press", jobs: Sequence[Job], long: Sequence[Job]) -> Iterator[Output]:
    for job in (*jobs, *long):
        yield from job()
