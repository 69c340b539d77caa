"""The figures of one bike as they are computed, sent between processes and kept, apart from those of all others.

* ComputedBike      everything that was computed for one bike
* group_bikes       bikes in groups that are computed together
* restore_figures   figures with the kinds that all bikes share
* pause_gc          no search for reference cycles while a block makes much and drops little
"""

import gc
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import NamedTuple

from generator.figures import units
from generator.figures.chooser.grid import RideKey
from generator.figures.model import Figure, FigureBasis, FigureKind, FirstInputUse
from generator.figures.rides.claim_rides import ClaimRide
from generator.figures.rides.own_rides import RideCheck
from generator.figures.uncertainty.what_if import Effect
from generator.specs.bike import Bike

TOGETHER = 12
"""Most bikes that are computed together: more take as long each, and twice the memory."""


class StoredFigure(NamedTuple):
    """A `Figure` without its slug, and with the id and unit of its kind in place of the kind."""

    id: str
    unit: str
    """SI symbol, or a currency's code."""
    value: float
    low: float
    high: float
    basis: FigureBasis
    conditions: str
    sentence: str
    note: str
    before_rides: tuple[float, float, float] | None


@dataclass(frozen=True)
class ComputedBike:
    """Everything that was computed for one bike; the fields are those of `FiguresTable`."""

    slug: str
    figures: tuple[StoredFigure, ...] = ()
    missing: dict[str, tuple[str, ...]] = field(default_factory=dict)
    rides: tuple[RideCheck, ...] = ()
    claim: ClaimRide | None = None
    effects: dict[str, list[Effect]] = field(default_factory=dict)
    uses: dict[str, FirstInputUse] = field(default_factory=dict)
    ranges: dict[RideKey, float] | None = None
    """The chooser's ranges; None where they were not computed. [m]"""
    grades: dict[RideKey, float] = field(default_factory=dict)
    """The chooser's steepest grades. [-]"""


def group_bikes(bikes: Sequence[Bike], most: int = TOGETHER) -> list[tuple[Bike, ...]]:
    """Return the bikes in order, in groups of at most `most` and of even size, so that processes end together."""
    count = -(-len(bikes) // most)
    ends = [len(bikes) * number // count for number in range(count + 1)] if count else []
    return [tuple(bikes[start:end]) for start, end in pairwise(ends)]


def store_figures(figures: Mapping[str, Figure]) -> tuple[StoredFigure, ...]:
    """Return the figures of one bike without what all bikes share."""
    return tuple(
        StoredFigure(
            id, each.kind.unit.si, each.value, each.low, each.high, each.basis, each.conditions,
            each.sentence, each.note, each.before_rides,
        )
        for id, each in figures.items()
    )  # fmt: skip


def restore_figures(
    slug: str, stored: Iterable[StoredFigure], kinds: Mapping[str, FigureKind]
) -> dict[str, Figure]:
    """Return figures by id; `kinds` are those of the whole catalogue. Only money has a unit of its own."""
    found = {}
    for row in stored:
        kind = kinds[row.id]
        if kind.unit.si != row.unit:
            kind = replace(kind, unit=units.make_money_unit(row.unit))
        found[row.id] = Figure(slug, kind, *row[2:])
    return found


@contextmanager
def pause_gc() -> Iterator[None]:
    """Switch Python's search for reference cycles off: what is made meanwhile stays, and the search grows with it."""
    searching = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if searching:
            gc.enable()
