"""Range and steepest grade of every bike for a few riders, loads and routes, for the chooser to look up.

Computed with nominal inputs. `candidates.py` scales each value so that the default rider with the usual load has the
published figure, own rides included, and takes over the published interval in proportion.

* ChooserGrid    nominal values by slug
* compute_grid   computes the values of some bikes
* join_grids     puts the grids of several groups of bikes together
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from generator.content.model import Content, Rider, Route
from generator.figures.chooser.rule import LOADS, STRETCH
from generator.figures.inputs.case import Case
from generator.figures.kinds import hills
from generator.figures.kinds.range import compute_range
from generator.specs.bike import Bike

RideKey = tuple[str, str, str]
"""Ids of rider, route and load; the route is empty for the steepest grade, which depends on none."""


@dataclass(frozen=True)
class ChooserGrid:
    """Nominal ranges and grades in SI. A bike without the inputs for a value has no entry for it."""

    ranges: dict[str, dict[RideKey, float]] = field(default_factory=dict)
    """Range by slug, then by cell. [m]"""
    grades: dict[str, dict[RideKey, float]] = field(default_factory=dict)
    """Steepest grade held by slug, then by cell. [-]"""

    def select_bike(self, slug: str) -> "ChooserGrid":
        """The grid of one bike alone."""
        return ChooserGrid({slug: self.ranges[slug]}, {slug: self.grades[slug]})


def select_riders(content: Content) -> tuple[Rider, ...]:
    """At most three riders, by power: the weakest, the default and the strongest."""
    ordered = sorted(content.riders, key=lambda rider: (rider.power, rider.id))
    chosen = {ordered[0].id, ordered[-1].id, content.rider.id}
    return tuple(rider for rider in ordered if rider.id in chosen)


def select_routes(content: Content) -> tuple[Route, ...]:
    """At most three routes, by climb: the flattest, the default and the hilliest."""
    ordered = sorted(content.routes, key=lambda route: (climb_per_metre(route), route.id))
    chosen = {ordered[0].id, ordered[-1].id, content.route.id}
    return tuple(route for route in ordered if route.id in chosen)


def climb_per_metre(route: Route) -> float:
    """Metres climbed per metre of road. [-]"""
    up = np.diff(route.elevation)
    return float(up[up > 0.0].sum()) / (route.distance[-1] - route.distance[0])


def find_steepest_grade(route: Route) -> float:
    """Mean grade of the steepest 100 m uphill in the route's own direction. [-]"""
    distance = np.array(route.distance)
    length = min(STRETCH, float(distance[-1] - distance[0]))
    starts = distance[distance <= distance[-1] - length]
    height = np.interp(starts + length, distance, route.elevation) - np.interp(
        starts, distance, route.elevation
    )
    return max(float(height.max()) / length, 0.0)


def find_load_mass(id: str, content: Content) -> float:
    """Mass of one of `LOADS`. [kg]"""
    mass = next(each.mass for each in LOADS if each.id == id)
    return content.rider.load if mass is None else mass


GRID_BATCH = 96
"""Most bikes computed at a time. Each has one level here, and the compiled ride takes up to 32 lanes at once."""


def join_grids(parts: Iterable[ChooserGrid]) -> ChooserGrid:
    """One grid of all the bikes in `parts`."""
    found = ChooserGrid()
    for part in parts:
        found.ranges.update(part.ranges)
        found.grades.update(part.grades)
    return found


def compute_grid(bikes: Sequence[Bike], content: Content) -> ChooserGrid:
    """The grid of these bikes: every route with every load and rider, vectorised over the bikes."""
    found = ChooserGrid({bike.slug: {} for bike in bikes}, {bike.slug: {} for bike in bikes})
    if not bikes:
        return found
    people = {
        (one.id, each.id): replace(
            one, id=f"{one.id}/{each.id}", load=find_load_mass(each.id, content), default=False
        )
        for one in select_riders(content)
        for each in LOADS
    }
    # Every level is ridden for the default rider. This spare one is never asked for, so the others cost their middle level.
    spare = replace(content.rider, id="", default=True)
    case = Case(bikes, replace(content, riders=(spare, *people.values())), spans=False)
    for (rider, carried), one in people.items():
        for route in select_routes(content):
            cell = (rider, route.id, carried)
            _store_finite(found.ranges, case, cell, compute_range(case, route.id, one.id))
        _store_finite(
            found.grades, case, (rider, "", carried), hills.compute_steepest_grade(case, one.id)
        )
    return found


def _store_finite(
    table: dict[str, dict[RideKey, float]], case: Case, cell: RideKey, values: np.ndarray
) -> None:
    for bike, value in zip(case.bikes, values[:, 0], strict=True):
        if np.isfinite(value):
            table[bike.slug][cell] = float(value)
