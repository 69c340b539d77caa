"""A large catalogue is worked out in parts, so that memory does not grow with it and processes can share the work.

* Part       all that is known of some bikes, ready to be sent from one process to another
* Mapper     who works the parts out: one process after another, or several
* groups     bikes in parts of a size that memory and caches like
* unsearched what a part's making is wrapped in
* KeptCurves rows of charts that were worked out with their part
"""

import functools
import gc
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from generator.content.model import Content
from generator.figures.case import Case
from generator.figures.claim_rides import ClaimRide
from generator.figures.measured import RideCheck
from generator.figures.model import Figure
from generator.figures.pedalling import Pedalling
from generator.figures.what_if import Effect
from generator.specs.bike import Bike

TOGETHER = 20
"""Bikes of a part at most. More at a time take longer each, since their arrays leave the processor's caches."""

Rows = list[dict[str, Any]]
Mapper = Callable[[Callable[[Any], Any], Sequence[Any]], Iterable[Any]]
"""Like `map`."""


@dataclass(frozen=True)
class Part:
    """See `FiguresTable`, whose fields these are."""

    figures: dict[str, dict[str, Figure]]
    missing: dict[str, dict[str, tuple[str, ...]]]
    rides: tuple[RideCheck, ...] = ()
    claims: dict[str, ClaimRide] = field(default_factory=dict)
    effects: dict[str, dict[str, list[Effect]]] = field(default_factory=dict)
    curves: dict[tuple[str, str], Rows] = field(default_factory=dict, repr=False)
    """By slug and name."""


def groups(bikes: Sequence[Bike]) -> list[tuple[Bike, ...]]:
    """The bikes in order, in parts of even size, so that nobody waits for the largest; one empty part when there are none."""
    count = max(1, -(-len(bikes) // TOGETHER))
    ends = [len(bikes) * number // count for number in range(count + 1)]
    return [tuple(bikes[start:end]) for start, end in pairwise(ends)]


@contextmanager
def unsearched() -> Iterator[None]:
    """Meanwhile Python does not search for objects that only hold each other.

    A part makes none to speak of, and nearly all that it makes stays; but the more there is, the longer the search takes.
    """
    searching = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if searching:
            gc.enable()


class KeptCurves:
    """From slug and name to rows; those of diagrams are nominal and quick, and made when asked for."""

    def __init__(
        self, bikes: Sequence[Bike], content: Content, rows: dict[tuple[str, str], Rows]
    ) -> None:
        self._bikes = {bike.slug: bike for bike in bikes}
        self._content = content
        self._rows = rows
        self._pedalling = functools.lru_cache(maxsize=4)(self._case)

    def __call__(self, slug: str, name: str) -> Rows:
        """Rows of a curve. They are shared: not to be changed. KeyError for an unknown slug or name."""
        if (slug, name) in self._rows:
            return self._rows[slug, name]
        return self._pedalling(slug)(slug, name)

    def _case(self, slug: str) -> Pedalling:
        """Of the one bike, or of none for the typical machine."""
        bikes = [self._bikes[slug]] if slug else []
        return Pedalling(Case(bikes, self._content, spans=False))
