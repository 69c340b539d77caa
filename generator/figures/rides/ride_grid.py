"""Consumption and speed of each bike for any rider, hills, wind and warmth: the table behind "your ride".

Ridden at build time on the default route with its height stretched; nominal inputs. Hills, wind and warmth have steps;
effort and mass are interpolated, by a cubic and a parabola, and nothing is given beyond their nodes. The curves
bend where the motor lets go, so effort is measured against the power that the level's cut-off speed needs on the flat
(`need`): mass then hardly bends them, and few nodes suffice.

Error against a case of its own, where the table covers it: median 0.1 %, 99 of 100 rides within 0.8 %, 999 of 1000 within
1.4 %. Of 34 000 over eight bikes four passed 2 %, the largest 3.0 %, where the motor is about to let go; none in the test's
fixed draws. A quarter is not covered: the motor hardly helps, the bike is pushed, or the effort lies outside. Cost: 594 rides
and 33 tables of traction a level, some 16 ms of one core.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from generator.compute import battery
from generator.content.model import Content
from generator.figures.chooser.grid import climb_per_metre

Array = NDArray[np.float64]

EFFORT_RATIO, SIDE_NODES = 1.2, 5
"""Nodes of effort: the ratio of one to the next, and how many lie on either side of the default rider's."""
EFFORT_NODES = 2 * SIDE_NODES + 1
HILL_STEPS = (0.5, 1.0, 2.0)
"""Steps of the height of the default route, over its own."""
EXTRA_WIND = 3.0
"""Wind of the windy step above the route's own, or above 2 m/s if that is more. [m/s]"""
FROST, WARM, LEAST_DIFFERENCE = 0.0, 26.0, 10.0
"""Steps of temperature beside the default route's, and their least distance from it. [°C, K]"""
MASS_NODES = (0.75, 1.0, 1.35)
"""Nodes of rider and load together, over the default rider's; the outer ones are the span."""
DEFAULT_MASS_NODE = 1
"""Index of the default rider's own node in `MASS_NODES`."""
EFFORT_SPAN = (0.5, 1.875)
"""Efforts covered, over the default rider's."""
LEAST_CONSUMPTION = 9.0
"""Consumption below which a range only says that the motor hardly helps: 2.5 Wh/km. [J/m]"""
LEAST_CLIMB = 3e-3
"""Climb per metre of road below which the default route has no hills to stretch. [-]"""


@dataclass(frozen=True)
class RideGridAxes:
    """Steps and defaults of the tables, common to all bikes of a publication. SI."""

    mass: float
    """Mass of the default rider with the usual load. [kg]"""
    load: float
    """Usual load. [kg]"""
    effort: float
    """Default rider's power. [W]"""
    hills: tuple[float, ...]
    """Steps of height, over the default route's own."""
    winds: tuple[float, float]
    """Winds: the default route's own, and windy. [m/s]"""
    warmths: tuple[float, float, float]
    """Temperatures: frost, the default route's own, and warm. [°C]"""
    climb: float
    """Climb of the default route per metre of road. [-]"""

    @property
    def usual(self) -> tuple[int, int, int]:
        """Steps of hills, wind and warmth that are the default route's own."""
        return self.hills.index(1.0), 0, 1


@dataclass(frozen=True)
class RideGrid:
    """Ride grid of one bike. Its logarithms are of consumption [J/m] and of time over distance [s/m], in this order."""

    axes: RideGridAxes
    need: Array
    """Logarithm of the cut-off's demand over that at the defaults; shape (levels, masses)."""
    logs: Array
    """Shape (levels, hills, winds, warmths, masses, efforts, 2). NaN where the bike would have to be pushed."""
    usable: float
    """Energy of the battery at the default route's temperature. [J]"""


def make_axes(content: Content) -> RideGridAxes:
    """Steps and defaults of the tables of a publication."""
    rider, route = content.rider, content.route
    up = climb_per_metre(route)
    return RideGridAxes(
        rider.mass + rider.load,
        rider.load,
        rider.power,
        HILL_STEPS if up > LEAST_CLIMB else (1.0,),
        (route.wind, max(route.wind, 2.0) + EXTRA_WIND),
        (
            min(FROST, route.temperature - LEAST_DIFFERENCE),
            route.temperature,
            max(WARM, route.temperature + LEAST_DIFFERENCE),
        ),
        up,
    )


def compute_effort_weights(place: float) -> tuple[int, list[float]]:
    """First node of effort and weights of the cubic through the four about a place, counted in nodes."""
    first = min(max(math.floor(place) - 1, 0), EFFORT_NODES - 4)
    return first, compute_polynomial_weights(range(4), place - first)


def compute_polynomial_weights(nodes: Sequence[float], at: float) -> list[float]:
    """Weights of the polynomial through the nodes."""
    return [
        math.prod((at - other) / (one - other) for other in nodes if other != one) for one in nodes
    ]


def look_up_ride(
    table: RideGrid, level: int, *, mass: float, effort: float, hill: int, wind: int, warmth: int
) -> tuple[float, float] | None:
    """Consumption [J/m] and time over distance [s/m]; None outside what the table covers.

    `templates/scripts/ride_table.js` computes this in the browser; a test compares the two.
    """
    given = table.axes
    pull = compute_polynomial_weights(MASS_NODES, mass / given.mass)
    need = float(np.array(pull) @ table.need[level])
    place = (math.log(effort / given.effort) - need) / math.log(EFFORT_RATIO) + SIDE_NODES
    if not 0.0 <= place <= EFFORT_NODES - 1.0:
        return None
    first, parts = compute_effort_weights(place)
    used = [
        node
        for node in range(len(MASS_NODES))
        if node == DEFAULT_MASS_NODE or abs(pull[node]) > 1e-9
    ]
    near = table.logs[level, hill, wind, warmth, used, first : first + 4]
    found = np.einsum("m,e,mep->p", np.array(pull)[used], parts, near)
    if not np.isfinite(found).all():
        return None
    consumption, slowness = np.exp(found + np.array([need, 0.0]))
    return float(consumption), float(slowness)


def compute_capacity_ratios(given: RideGridAxes) -> tuple[float, ...]:
    """Battery's energy at each step of temperature, over that at the default route's."""
    usual = battery.capacity_factor(given.warmths[1])
    return tuple(float(battery.capacity_factor(each) / usual) for each in given.warmths)


def compute_age_factor(cycles: float) -> float:
    """Battery's energy after a number of full charges, over that of a new one."""
    return float(battery.age_factor(cycles))
