"""A large catalogue is worked out in parts, so that memory does not grow with it and processes can share the work.

* Part       all that is known of some bikes, small enough to be sent from one process to another and to be kept
* groups     bikes in parts of a size that memory and caches like
* entries_of the figures of a bike without their kinds, which are the same for all; `figures_of` is the way back
* unsearched what a part's making is wrapped in
"""

import gc
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any, NamedTuple

from generator.figures.model import Figure, FigureBasis, FirstUse, Kind, Unit
from generator.figures.rides.claim_rides import ClaimRide
from generator.figures.rides.own_rides import RideCheck
from generator.figures.uncertainty.what_if import Effect
from generator.specs.bike import Bike

TOGETHER = 12
"""Bikes of a part at most. More at a time take as long each, and twice as much memory."""


class Entry(NamedTuple):
    """A figure; see there."""

    id: str
    unit: Unit
    value: float
    low: float
    high: float
    basis: FigureBasis
    conditions: str
    sentence: str
    note: str
    before_rides: tuple[float, float, float] | None


@dataclass(frozen=True)
class Part:
    """All by slug; see `FiguresTable`, whose fields these are."""

    figures: dict[str, tuple[Entry, ...]]
    missing: dict[str, dict[str, tuple[str, ...]]]
    rides: tuple[RideCheck, ...] = ()
    claims: dict[str, ClaimRide] = field(default_factory=dict)
    effects: dict[str, dict[str, list[Effect]]] = field(default_factory=dict)
    uses: dict[str, dict[str, FirstUse]] = field(default_factory=dict, repr=False)
    behind: dict[str, bytes] = field(default_factory=dict, repr=False)
    """Packed, see `background`."""

    def of(self, slug: str) -> "Part":
        """That of one of its bikes."""

        def mine(given: Mapping[str, Any]) -> dict[str, Any]:
            return {slug: given[slug]} if slug in given else {}

        return Part(
            mine(self.figures),
            mine(self.missing),
            tuple(ride for ride in self.rides if ride.bike == slug),
            mine(self.claims),
            mine(self.effects),
            mine(self.uses),
            mine(self.behind),
        )


def groups(bikes: Sequence[Bike], together: int | None = None) -> list[tuple[Bike, ...]]:
    """The bikes in order, in parts of even size, so that nobody waits for the largest; one empty part when there are none.

    `together` are the bikes of a part at most; TOGETHER when left out.
    """
    count = max(1, -(-len(bikes) // (together or TOGETHER)))
    ends = [len(bikes) * number // count for number in range(count + 1)]
    return [tuple(bikes[start:end]) for start, end in pairwise(ends)]


def entries_of(figures: Mapping[str, Figure]) -> tuple[Entry, ...]:
    return tuple(
        Entry(
            id,
            each.kind.unit,
            each.value,
            each.low,
            each.high,
            each.basis,
            each.conditions,
            each.sentence,
            each.note,
            each.before_rides,
        )
        for id, each in figures.items()
    )


@contextmanager
def unsearched() -> Iterator[Callable[[], None]]:
    """Meanwhile Python does not search for objects that only hold each other.

    A part makes none to speak of, and nearly all that it makes stays; but the more there is, the longer the search takes.
    Gives what lets the search begin before the end, for what is made from then on.
    """
    searching, settled = gc.isenabled(), False
    gc.disable()

    def settle() -> None:
        nonlocal settled
        if searching:
            gc.freeze()
            settled = True
            gc.enable()

    try:
        yield settle
    finally:
        if settled:
            gc.unfreeze()
        if searching:
            gc.enable()


def figures_of(slug: str, entries: Iterable[Entry], kinds: Mapping[str, Kind]) -> dict[str, Figure]:
    """By id; `kinds` are those of the whole catalogue. Money alone has a unit of its own."""
    found = {}
    for row in entries:
        kind = kinds[row.id]
        if kind.unit.si != row.unit.si:
            kind = replace(kind, unit=row.unit)
        found[row.id] = Figure(slug, kind, *row[2:])
    return found
