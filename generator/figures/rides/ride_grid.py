"""Consumption and speed of each bike for any rider, hills, wind and warmth: the table behind "your ride".

Ridden at build time on the default route with its height stretched; nominal inputs. Hills, wind and warmth have steps;
effort and mass are interpolated, by a cubic and a parabola, and nothing is told beyond their nodes. What bends the curves
is where the motor lets go, so effort is measured against what the level's cut-off speed asks for on the flat (`need`):
mass then hardly bends anything, and few nodes do.

Error against a case of its own, where it answers: median 0.1 %, 99 of 100 rides within 0.8 %, 999 of 1000 within 1.4 %.
Of 34 000 over eight bikes four passed 2 %, the largest 3.0 %, where the motor is about to let go; none in the test's fixed
draws. A quarter is not answered: the motor hardly helps, it has to be pushed, or the effort lies outside. Cost: 594 rides
and 33 tables of traction a level, some 16 ms of one core.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from generator.compute import battery
from generator.content.model import Content
from generator.figures.chooser.grid import climb

Array = NDArray[np.float64]

STEP, SIDE = 1.2, 5
"""Of the nodes of effort: the ratio of one to the next, and how many lie on either side of the default rider's."""
NODES = 2 * SIDE + 1
HILLS = (0.5, 1.0, 2.0)
"""Steps of the height of the default route, over its own."""
WINDIER = 3.0
"""Of the windy step over the route's own wind, or over 2 m/s if that is more. [m/s]"""
FROST, WARM, APART = 0.0, 26.0, 10.0
"""Steps of temperature beside the default route's, and how far they are from it at least. [°C, K]"""
MASSES = (0.75, 1.0, 1.35)
"""Nodes of rider and load together, over the default rider's; the outer ones are the span."""
MIDDLE = 1
"""The default rider's own among them."""
EFFORT_SPAN = (0.5, 1.875)
"""What is covered, over the default rider's effort."""
LEAST = 9.0
"""Consumption below which a range says nothing but that the motor hardly helps: 2.5 Wh/km. [J/m]"""
FLAT = 3e-3
"""A default route that climbs less has no hills to stretch. [-]"""


@dataclass(frozen=True)
class Axes:
    """What all bikes of a publication share. SI."""

    mass: float
    """Of the default rider with the usual load. [kg]"""
    load: float
    """[kg]"""
    effort: float
    """[W]"""
    hills: tuple[float, ...]
    """Over the default route's own height."""
    winds: tuple[float, float]
    """The default route's own, and windy. [m/s]"""
    warmths: tuple[float, float, float]
    """Frost, the default route's own, and warm. [°C]"""
    climb: float
    """Of the default route for each metre of road. [-]"""

    @property
    def usual(self) -> tuple[int, int, int]:
        """Steps of hills, wind and warmth that are the default route's own."""
        return self.hills.index(1.0), 0, 1


@dataclass(frozen=True)
class RideGrid:
    """One bike's table. The logarithms are of consumption [J/m] and of time over distance [s/m], in this order."""

    axes: Axes
    need: Array
    """Logarithm of the cut-off's demand over that at the defaults; shape (levels, masses)."""
    logs: Array
    """Shape (levels, hills, winds, warmths, masses, efforts, 2). NaN where the bike would have to be pushed."""
    usable: float
    """Energy of the battery in the default route's warmth. [J]"""


def axes(content: Content) -> Axes:
    rider, route = content.rider, content.route
    up = climb(route)
    return Axes(
        rider.mass + rider.load,
        rider.load,
        rider.power,
        HILLS if up > FLAT else (1.0,),
        (route.wind, max(route.wind, 2.0) + WINDIER),
        (
            min(FROST, route.temperature - APART),
            route.temperature,
            max(WARM, route.temperature + APART),
        ),
        up,
    )


def weights(place: float) -> tuple[int, list[float]]:
    """First node of effort and weights of the cubic through the four about a place, counted in nodes."""
    first = min(max(math.floor(place) - 1, 0), NODES - 4)
    return first, through(range(4), place - first)


def through(nodes: Sequence[float], at: float) -> list[float]:
    """Weights of the polynomial through the nodes."""
    return [
        math.prod((at - other) / (one - other) for other in nodes if other != one) for one in nodes
    ]


def look(
    table: RideGrid, level: int, *, mass: float, effort: float, hill: int, wind: int, warmth: int
) -> tuple[float, float] | None:
    """Consumption [J/m] and time over distance [s/m]; None outside what the table covers.

    The rule of `templates/scripts/ride_table.js`, which a test holds to this one.
    """
    given = table.axes
    pull = through(MASSES, mass / given.mass)
    need = float(np.array(pull) @ table.need[level])
    place = (math.log(effort / given.effort) - need) / math.log(STEP) + SIDE
    if not 0.0 <= place <= NODES - 1.0:
        return None
    first, parts = weights(place)
    used = [node for node in range(len(MASSES)) if node == MIDDLE or abs(pull[node]) > 1e-9]
    near = table.logs[level, hill, wind, warmth, used, first : first + 4]
    found = np.einsum("m,e,mep->p", np.array(pull)[used], parts, near)
    if not np.isfinite(found).all():
        return None
    consumption, slowness = np.exp(found + np.array([need, 0.0]))
    return float(consumption), float(slowness)


def capacity(given: Axes) -> tuple[float, ...]:
    """Battery's energy at each step of warmth over that in the default route's."""
    usual = battery.capacity_factor(given.warmths[1])
    return tuple(float(battery.capacity_factor(each) / usual) for each in given.warmths)


def age(cycles: float) -> float:
    """Battery's energy after so many full charges over that of a new one."""
    return float(battery.age_factor(cycles))
