"""Range and steepest grade of every bike for some riders, loads and routes: the tables that the chooser looks things up in.

Nominal inputs only. Each cell is then scaled so that the default rider with the usual load has the published figure, own
rides included; its interval is the published one, in proportion.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from generator.content.model import Content, Rider, Route
from generator.figures.chooser.rule import LOADS, STRETCH
from generator.figures.inputs.case import Case
from generator.figures.kinds import hills
from generator.figures.kinds.range import range_of
from generator.specs.bike import Bike

MOST = 3
"""Riders and routes that are asked about, at most; so the table's size does not depend on the publication."""

Cell = tuple[str, str, str]
"""Rider, route, load; of the steepest grade, which no route enters, the route is empty."""


@dataclass(frozen=True)
class Grid:
    """Nominal values in SI; what a bike lacks the inputs for is left out."""

    ranges: dict[str, dict[Cell, float]] = field(default_factory=dict)
    """By slug. [m]"""
    grades: dict[str, dict[Cell, float]] = field(default_factory=dict)
    """By slug. [-]"""

    def of(self, slug: str) -> "Grid":
        """That of one bike."""
        return Grid({slug: self.ranges[slug]}, {slug: self.grades[slug]})


def riders(content: Content) -> tuple[Rider, ...]:
    """Three riders at most: the weakest, the default and the strongest, in the order of their power."""
    ordered = sorted(content.riders, key=lambda rider: (rider.power, rider.id))
    chosen = {ordered[0].id, ordered[-1].id, content.rider.id}
    return tuple(rider for rider in ordered if rider.id in chosen)


def routes(content: Content) -> tuple[Route, ...]:
    """Three routes at most: with the least climb, the default and the most, in the order of their climb."""
    ordered = sorted(content.routes, key=lambda route: (climb(route), route.id))
    chosen = {ordered[0].id, ordered[-1].id, content.route.id}
    return tuple(route for route in ordered if route.id in chosen)


def climb(route: Route) -> float:
    """Metres climbed for each metre of road. [-]"""
    up = np.diff(route.elevation)
    return float(up[up > 0.0].sum()) / (route.distance[-1] - route.distance[0])


def steepest(route: Route) -> float:
    """Mean grade of the steepest 100 m uphill, ridden in the route's own direction. [-]"""
    distance = np.array(route.distance)
    length = min(STRETCH, float(distance[-1] - distance[0]))
    starts = distance[distance <= distance[-1] - length]
    height = np.interp(starts + length, distance, route.elevation) - np.interp(
        starts, distance, route.elevation
    )
    return max(float(height.max()) / length, 0.0)


def load(id: str, content: Content) -> float:
    """What a rider carries. [kg]"""
    mass = next(each.mass for each in LOADS if each.id == id)
    return content.rider.load if mass is None else mass


TOGETHER = 96
"""Bikes that are ridden at a time at most: each has one level here, and the compiled ride fills up to 32 of them."""


def joined(parts: Iterable[Grid]) -> Grid:
    """That of all bikes."""
    found = Grid()
    for part in parts:
        found.ranges.update(part.ranges)
        found.grades.update(part.grades)
    return found


def grid(bikes: Sequence[Bike], content: Content) -> Grid:
    """Ride every route with every load and rider; vectorised over the bikes."""
    found = Grid({bike.slug: {} for bike in bikes}, {bike.slug: {} for bike in bikes})
    if not bikes:
        return found
    people = {
        (one.id, each.id): replace(
            one, id=f"{one.id}/{each.id}", load=load(each.id, content), default=False
        )
        for one in riders(content)
        for each in LOADS
    }
    # Of the default rider every level is ridden. Of this one nothing is asked, so the others cost their middle level.
    spare = replace(content.rider, id="", default=True)
    case = Case(bikes, replace(content, riders=(spare, *people.values())), spans=False)
    for (rider, carried), one in people.items():
        for route in routes(content):
            cell = (rider, route.id, carried)
            _keep(found.ranges, case, cell, range_of(case, route.id, one.id))
        _keep(found.grades, case, (rider, "", carried), hills.steepest(case, one.id))
    return found


def _keep(table: dict[str, dict[Cell, float]], case: Case, cell: Cell, values: np.ndarray) -> None:
    for bike, value in zip(case.bikes, values[:, 0], strict=True):
        if np.isfinite(value):
            table[bike.slug][cell] = float(value)
