"""The details of each bike's figures: how each was worked out, rows of charts, the table behind "your ride".

They are ten times as large as the figures, and only the pages of their own bike ask for them. So they stay encoded and
compressed until then, and a large catalogue fits into memory.

* Details         of one bike
* DetailsSource   gives the details of any bike
* StoredDetails   from their encoding; `Renamed` and `Either` combine other sources
"""

import functools
import zlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple, Protocol

from generator.content.model import Content
from generator.figures.inputs.case import Case
from generator.figures.model import UsedInput, Working
from generator.figures.rides import ride_grid_build
from generator.figures.rides.ride_grid import RideGrid
from generator.figures.simulation.pedalling import DIAGRAM_NAMES, Pedalling
from generator.figures.table.workings import StoredWorking, Workings
from generator.specs.bike import Bike
from generator.specs.encoding import decode, encode

Rows = list[dict[str, Any]]
MOST_DECODED = 4
"""Bikes whose details are at hand at a time: as many as a page sets side by side."""


class _Encoded(NamedTuple):
    """What the encoding holds."""

    inputs: tuple[UsedInput, ...]
    workings: dict[str, StoredWorking]
    curves: dict[str, Rows]
    has_ride_grid: bool
    ride_grid: RideGrid | None


@dataclass(frozen=True)
class Details:
    """The details of one bike."""

    workings: Workings = field(default_factory=Workings)
    curves: dict[str, Rows] = field(default_factory=dict)
    """Rows of each chart by the chart's name. [SI]"""
    has_ride_grid: bool = False
    """Whether the table behind "your ride" was computed."""
    ride_grid: RideGrid | None = None
    """None where it was not computed, and where the bike lacks an input."""

    def encode(self) -> bytes:
        """Return the details, compressed."""
        workings = self.workings
        whole = _Encoded(
            tuple(workings.inputs),
            dict(workings.stored),
            self.curves,
            self.has_ride_grid,
            self.ride_grid,
        )
        return zlib.compress(encode(whole), 1)

    @classmethod
    def decode(cls, data: bytes) -> "Details":
        """Return the details that `encode` wrote. ValueError or zlib.error where it did not."""
        read = decode(_Encoded, zlib.decompress(data))
        workings = Workings(read.inputs, read.workings)
        return cls(workings, read.curves, read.has_ride_grid, read.ride_grid)


class DetailsSource(Protocol):
    """Gives the details of any bike of a table."""

    def workings(self, slug: str) -> Mapping[str, Working]:
        """How each figure of a bike was worked out, by the figure's id; empty for an unknown bike."""

    def curve(self, slug: str, name: str) -> Rows:
        """Rows of a chart. They are shared: do not change them. KeyError for an unknown slug or name."""

    def ride_grid(self, slug: str) -> RideGrid | None:
        """Consumption and speed for any rider and weather; None where the bike lacks an input."""


KeepRows = Callable[[str, str, Callable[[], Rows]], Rows]
"""From slug, name and what computes the rows of a diagram to the rows, which an earlier build may have computed."""


def compute_rows(slug: str, name: str, compute: Callable[[], Rows]) -> Rows:
    """A `KeepRows` that keeps nothing."""
    return compute()


class StoredDetails:
    """Details from their encoding. Rows of diagrams, which few bikes are asked for, are computed on demand."""

    def __init__(
        self,
        bikes: Sequence[Bike],
        content: Content,
        read_encoded: Callable[[str], bytes],
        keep_rows: KeepRows = compute_rows,
    ) -> None:
        """`read_encoded` gives the encoding by slug, and raises KeyError for a bike without details."""
        self._bikes = {bike.slug: bike for bike in bikes}
        self._content = content
        self._read_encoded, self._keep_rows = read_encoded, keep_rows
        self._details = functools.lru_cache(maxsize=MOST_DECODED)(self._decode)
        self._pedalling = functools.lru_cache(maxsize=MOST_DECODED)(self._simulate_pedalling)
        self._computed_grid = functools.lru_cache(maxsize=MOST_DECODED)(self._compute_grid)

    def workings(self, slug: str) -> Mapping[str, Working]:
        return self._details(slug).workings

    def curve(self, slug: str, name: str) -> Rows:
        if name not in DIAGRAM_NAMES:
            return self._details(slug).curves[name]
        return self._keep_rows(slug, name, lambda: self._pedalling(slug)(slug, name))

    def ride_grid(self, slug: str) -> RideGrid | None:
        details = self._details(slug)
        return details.ride_grid if details.has_ride_grid else self._computed_grid(slug)

    def _decode(self, slug: str) -> Details:
        try:
            encoded = self._read_encoded(slug)
        except KeyError:
            return Details()
        return Details.decode(encoded)

    def _simulate_pedalling(self, slug: str) -> Pedalling:
        """Simulate one bike, or the typical machine where the slug is empty."""
        bikes = [self._bikes[slug]] if slug else []
        return Pedalling(Case(bikes, self._content, spans=False))

    def _compute_grid(self, slug: str) -> RideGrid | None:
        return ride_grid_build.compute_ride_grids([self._bikes[slug]], self._content).get(slug)


@dataclass(frozen=True)
class Renamed:
    """Details of bikes that another table holds under other slugs."""

    source: DetailsSource
    slugs: Mapping[str, str]
    """From a bike's slug to its slug in the other table."""

    def workings(self, slug: str) -> Mapping[str, Working]:
        return self.source.workings(self.slugs.get(slug, slug))

    def curve(self, slug: str, name: str) -> Rows:
        return self.source.curve(self.slugs.get(slug, slug), name)

    def ride_grid(self, slug: str) -> RideGrid | None:
        return self.source.ride_grid(self.slugs.get(slug, slug))


@dataclass(frozen=True)
class Either:
    """Details of some bikes from one source, and of all others from another."""

    slugs: frozenset[str]
    theirs: DetailsSource
    others: DetailsSource

    def _source_of(self, slug: str) -> DetailsSource:
        return self.theirs if slug in self.slugs else self.others

    def workings(self, slug: str) -> Mapping[str, Working]:
        return self._source_of(slug).workings(slug)

    def curve(self, slug: str, name: str) -> Rows:
        return self._source_of(slug).curve(slug, name)

    def ride_grid(self, slug: str) -> RideGrid | None:
        return self._source_of(slug).ride_grid(slug)
