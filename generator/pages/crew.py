"""Who makes the pages of many bikes or pairs: one process by itself, or several.

* Crew    makes the outputs of many things, in their order
* alone   one by one, here
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any, Protocol

from generator.pages.output import Output

if TYPE_CHECKING:
    from generator.pages.press import Press

Make = Callable[[Any], Iterable[Output]]


class Crew(Protocol):
    def __call__(self, press: "Press", make: Make, things: Sequence[Any]) -> Iterator[Output]:
        """The outputs of all things, in order; what the press notes on the way is noted in it."""


def alone(press: "Press", make: Make, things: Sequence[Any]) -> Iterator[Output]:
    for thing in things:
        yield from make(thing)
