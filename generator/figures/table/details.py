"""What stands behind the figures of a bike: how each was worked out, rows of charts, the table of own rides.

It is ten times as large as the figures, and asked for by the pages of its own bike alone. So it is packed until then, and
a large catalogue fits into memory.

* Background    of one bike
* Behind        what gives it, of any bike
* Backgrounds   the usual one; Moved and Either put others together
"""

import functools
import pickle
import zlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol

from generator.content.model import Content
from generator.figures.inputs.case import Case
from generator.figures.model import Working
from generator.figures.rides import ride_grid_build
from generator.figures.rides.ride_grid import RideGrid
from generator.figures.simulation.pedalling import NAMES, Pedalling
from generator.figures.table.workings import Workings
from generator.specs.bike import Bike

Rows = list[dict[str, Any]]
UNPACKED = 4
"""Bikes whose background is at hand at a time: those that a page sets side by side."""


@dataclass(frozen=True)
class Background:
    workings: Workings = field(default_factory=Workings)
    curves: dict[str, Rows] = field(default_factory=dict)
    """By name of the chart."""
    ridden: bool = False
    """Was the table of own rides made?"""
    ride_grid: RideGrid | None = None
    """None where it was not made, and where an input lacks."""

    def packed(self) -> bytes:
        told = {id: tuple(each) for id, each in self.workings.told.items()}
        whole = (self.workings.inputs, told, self.curves, self.ridden, self.ride_grid)
        return zlib.compress(pickle.dumps(whole, pickle.HIGHEST_PROTOCOL), 1)

    @classmethod
    def unpacked(cls, packed: bytes) -> "Background":
        inputs, told, *rest = pickle.loads(zlib.decompress(packed))
        return cls(Workings(inputs, told), *rest)


class Behind(Protocol):
    def workings(self, slug: str) -> Mapping[str, Working]:
        """How each figure of a bike was worked out, by its id; empty for an unknown bike."""

    def curve(self, slug: str, name: str) -> Rows:
        """Rows of a curve. They are shared: not to be changed. KeyError for an unknown slug or name."""

    def ride_grid(self, slug: str) -> RideGrid | None:
        """Consumption and speed for any rider and weather; None where the bike lacks an input."""


Packed = Callable[[str], bytes]
"""From the slug to the packed background; KeyError for a bike that has none."""

Keep = Callable[[str, str, Callable[[], Rows]], Rows]
"""The rows of a curve by slug and name, which the last argument makes, or the same from before."""


def made_anew(slug: str, name: str, make: Callable[[], Rows]) -> Rows:
    return make()


class Backgrounds:
    """What is not packed, such as the rows of diagrams, is made when asked for, or `keep` has it from before."""

    def __init__(
        self, bikes: Sequence[Bike], content: Content, packed: Packed, keep: Keep = made_anew
    ) -> None:
        self._bikes = {bike.slug: bike for bike in bikes}
        self._content = content
        self._packed, self._keep = packed, keep
        self._of = functools.lru_cache(maxsize=UNPACKED)(self._unpacked)
        self._pedalling = functools.lru_cache(maxsize=UNPACKED)(self._case)
        self._ridden = functools.lru_cache(maxsize=UNPACKED)(self._ride)

    def workings(self, slug: str) -> Mapping[str, Working]:
        return self._of(slug).workings

    def curve(self, slug: str, name: str) -> Rows:
        if name not in NAMES:
            return self._of(slug).curves[name]
        return self._keep(slug, name, lambda: self._pedalling(slug)(slug, name))

    def ride_grid(self, slug: str) -> RideGrid | None:
        kept = self._of(slug)
        return kept.ride_grid if kept.ridden else self._ridden(slug)

    def _unpacked(self, slug: str) -> Background:
        try:
            whole = self._packed(slug)
        except KeyError:
            return Background()
        return Background.unpacked(whole)

    def _case(self, slug: str) -> Pedalling:
        """Of the one bike, or of none for the typical machine."""
        bikes = [self._bikes[slug]] if slug else []
        return Pedalling(Case(bikes, self._content, spans=False))

    def _ride(self, slug: str) -> RideGrid | None:
        return ride_grid_build.grids([self._bikes[slug]], self._content).get(slug)


@dataclass(frozen=True)
class Moved:
    """That of bikes which stand in another table under other slugs; `places` leads from a bike's slug to the one there."""

    whole: Behind
    places: Mapping[str, str]

    def workings(self, slug: str) -> Mapping[str, Working]:
        return self.whole.workings(self.places.get(slug, slug))

    def curve(self, slug: str, name: str) -> Rows:
        return self.whole.curve(self.places.get(slug, slug), name)

    def ride_grid(self, slug: str) -> RideGrid | None:
        return self.whole.ride_grid(self.places.get(slug, slug))


@dataclass(frozen=True)
class Either:
    """Of some bikes that of one table, of all others that of another."""

    slugs: frozenset[str]
    theirs: Behind
    others: Behind

    def _of(self, slug: str) -> Behind:
        return self.theirs if slug in self.slugs else self.others

    def workings(self, slug: str) -> Mapping[str, Working]:
        return self._of(slug).workings(slug)

    def curve(self, slug: str, name: str) -> Rows:
        return self._of(slug).curve(slug, name)

    def ride_grid(self, slug: str) -> RideGrid | None:
        return self._of(slug).ride_grid(slug)
