"""A figures table put together from the parts of its bikes, in whatever order they come.

What a part tells in short is spelt out as soon as it is there: a build does that while other processes make the next.
"""

import functools
from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

from generator.content.model import Content
from generator.figures.chooser import grid as chooser_grid
from generator.figures.model import Figure, FirstUse, Kind
from generator.figures.rides.claim_rides import ClaimRide
from generator.figures.rides.own_rides import RideCheck
from generator.figures.table.details import Backgrounds, Keep, Packed, made_anew
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import Part, figures_of
from generator.figures.uncertainty.what_if import Effect
from generator.specs.bike import Bike

V = TypeVar("V")


class Assembly:
    def __init__(self, bikes: Sequence[Bike], content: Content, kinds: dict[str, Kind]) -> None:
        """`kinds` are those of all bikes."""
        self._bikes, self._content, self._kinds = tuple(bikes), content, kinds
        self._figures: dict[str, dict[str, Figure]] = {}
        self._missing: dict[str, dict[str, tuple[str, ...]]] = {}
        self._rides: dict[str, list[RideCheck]] = {}
        self._claims: dict[str, ClaimRide] = {}
        self._effects: dict[str, dict[str, list[Effect]]] = {}
        self._uses: dict[str, dict[str, FirstUse]] = {}
        self._behind: dict[str, bytes] = {}

    def add(self, part: Part) -> None:
        for slug, entries in part.figures.items():
            self._figures[slug] = figures_of(slug, entries, self._kinds)
        for ride in part.rides:
            self._rides.setdefault(ride.bike, []).append(ride)
        self._missing.update(part.missing)
        self._claims.update(part.claims)
        self._effects.update(part.effects)
        self._uses.update(part.uses)
        self._behind.update(part.behind)

    def table(
        self,
        behind: Packed | None = None,
        grid: Callable[[], chooser_grid.Grid] | None = None,
        marks: Mapping[str, str] | None = None,
        keep: Keep = made_anew,
    ) -> FiguresTable:
        """Once all parts are there. `behind` gives what stands behind the figures, where it is not with the parts, `grid`
        the chooser's table, where it is known already, and `keep` may have rows of diagrams."""
        bikes, content = self._bikes, self._content
        return FiguresTable(
            bikes,
            self._kinds,
            self._in_order(self._figures),
            self._in_order(self._missing),
            Backgrounds(bikes, content, behind or self._behind.__getitem__, keep),
            tuple(ride for rides in self._in_order(self._rides).values() for ride in rides),
            self._in_order(self._claims),
            self._in_order(self._effects),
            self._in_order(self._uses),
            grid or functools.cache(functools.partial(chooser_grid.grid, bikes, content)),
            marks or {},
        )

    def _in_order(self, given: Mapping[str, V]) -> dict[str, V]:
        return {bike.slug: given[bike.slug] for bike in self._bikes if bike.slug in given}
