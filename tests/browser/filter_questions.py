"""Filters of a list of bikes as an address says them, each beside the same question to a bike in Python."""

from collections.abc import Callable
from dataclasses import dataclass

from generator.figures.model import Figure
from generator.law.verdicts import find_verdicts
from generator.specs.bike import Bike
from tests.figures import demo

PAGE = "bikes/index.html"
MILE = 1609.344
"""[m]  International mile of 1959, exact."""
POUND = 0.45359237
"""[kg]  International pound of 1959, exact."""


def of(bike: Bike, id: str) -> Figure | None:
    return demo.table().get(bike.slug, id)


def between(
    bike: Bike, id: str, low: float | None, high: float | None, factor: float = 1.0
) -> bool:
    """Is the figure, divided by `factor`, known and within limits?"""
    figure = of(bike, id)
    if figure is None:
        return False
    value = figure.value / factor
    return (low is None or value >= low) and (high is None or value <= high)


def called(bike: Bike) -> str:
    day = demo.content().settings.updated
    assert day
    return next(each.category for each in find_verdicts(bike, day) if each.rule == "eu")


@dataclass(frozen=True)
class Asked:
    """A search, and the same question to a bike in Python."""

    search: str
    fits: Callable[[Bike], bool]
    page: str = PAGE


ASKED = (
    Asked("?use=city", lambda bike: "city" in bike.uses),
    Asked("?sensor=torque", lambda bike: bike.assist.sensor == "torque"),
    Asked("?motor=mid", lambda bike: bike.motor.place == "mid"),
    Asked("?status=announced", lambda bike: bike.status == "announced"),
    Asked("?law=L1e-B+moped", lambda bike: called(bike) == "L1e-B moped"),
    Asked("?law=cannot+be+told", lambda bike: called(bike) == "unknown"),
    Asked(
        "?spec.price=1000..2500",
        lambda bike: bool(
            bike.price and bike.price.currency == "EUR" and 1000 <= bike.price.amount <= 2500
        ),
    ),
    Asked("?spec.mass=..20", lambda bike: between(bike, "spec.mass", None, 20)),
    Asked("?spec.mass=..45&in=us", lambda bike: between(bike, "spec.mass", None, 45, POUND)),
    Asked("?range.rolling=60..", lambda bike: between(bike, "range.rolling", 60, None, 1000)),
    Asked("?range.hilly=20..40&in=us", lambda bike: between(bike, "range.hilly", 20, 40, MILE)),
    Asked(
        "?hills.steepest=15..&use=cargo",
        lambda bike: "cargo" in bike.uses and between(bike, "hills.steepest", 15, None, 0.01),
    ),
    Asked(
        "?sensor=cadence&motor=rear+hub&spec.mass=..25",
        lambda bike: (
            (bike.assist.sensor, bike.motor.place) == ("cadence", "rear hub")
            and between(bike, "spec.mass", None, 25)
        ),
    ),
    Asked(
        "?range.rolling=50..&sure=yes",
        lambda bike: bool((found := of(bike, "range.rolling")) and found.low >= 50_000),
    ),
    Asked(
        "?range.rolling=..70&sure=yes",
        lambda bike: bool((found := of(bike, "range.rolling")) and found.high <= 70_000),
    ),
    Asked("?energy.rolling=..", lambda bike: True),
    Asked("?sensor=nonsense", lambda bike: False),
    Asked("?spec.mass=light..&range.nowhere=1..", lambda bike: True),
    Asked(
        "?motor=mid",
        lambda bike: bike.motor.place == "mid" and "city" in bike.uses,
        "uses/city/index.html",
    ),
)
