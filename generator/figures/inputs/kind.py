"""Inputs of the figures: their data, and the functions with which they are defined.

An input is what the spec file states (measured before claimed), or else an assumption. NaN means that it is missing
and that nothing sensible can be assumed.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import assert_never

from generator.content.model import Rider, Route
from generator.figures import show
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.model import Unit
from generator.specs.bike import Basis, Bike, Stated

MEASURED_SPAN = 0.005
"""Half span of a value from our own tests, relative. [-]  Our choice."""


@dataclass(frozen=True)
class ResolvedInput:
    """One input of one bike. SI."""

    value: float
    low: float
    high: float
    basis: Basis
    text: str
    source: str


MISSING = ResolvedInput(math.nan, math.nan, math.nan, "assumed", "not stated", "")


@dataclass(frozen=True)
class RideConditions:
    """Rider and route, common to all bikes."""

    rider: Rider
    route: Route


@dataclass(frozen=True)
class InputKind:
    """An input as registered, without the value of any bike."""

    id: str
    title: str
    unit: Unit
    resolve: Callable[[Bike, RideConditions], ResolvedInput]
    factor: str
    """Random factor; inputs with the same factor move together."""
    depends_on_ride: bool = False
    """Whether it depends on rider or route."""


INPUTS: dict[str, InputKind] = {}


def define_input(
    id: str, title: str, unit: Unit, factor: str | None = None, *, depends_on_ride: bool = False
):
    """Register a function that resolves an input of a bike."""

    def register(resolve: Callable[[Bike, RideConditions], ResolvedInput]):
        INPUTS[id] = InputKind(id, title, unit, resolve, factor or id, depends_on_ride)
        return resolve

    return register


def resolve_stated(
    bike: Bike,
    quantity: Stated | None,
    *,
    low: float = 1.0,
    high: float = 1.0,
    factor: float = 1.0,
) -> ResolvedInput | None:
    """A stated value with a span from `low` to `high` times the value; None when the spec states none.

    `factor` converts the spec's unit to the input's, where they differ.
    """
    if quantity is None:
        return None
    if quantity.basis == "measured":
        low, high = 1.0 - MEASURED_SPAN, 1.0 + MEASURED_SPAN
    value = quantity.value * factor
    titles = {source.id: source.title for source in bike.sources}
    where = titles.get(quantity.source or "", quantity.source or "")
    if quantity.date:
        where = f"{where}, {quantity.date.isoformat()}" if where else quantity.date.isoformat()
    return ResolvedInput(value, value * low, value * high, quantity.basis, quantity.text, where)


def resolve_assumed(id: str, *, factor: float = 1.0) -> ResolvedInput:
    """An assumed value with its span, times a factor."""
    row = ASSUMPTIONS[id]
    text = show.format_quantity(row.value * factor, row.unit.metric)
    return ResolvedInput(
        row.value * factor, row.low * factor, row.high * factor, "assumed", text, row.source
    )


def resolve_fixed(value: float, unit: Unit, source: str, basis: Basis = "assumed") -> ResolvedInput:
    """A value without a span."""
    return ResolvedInput(
        value, value, value, basis, show.format_quantity(value, unit.metric), source
    )


def is_mid_drive(bike: Bike) -> bool:
    """Does the motor turn the crank?"""
    match bike.motor.place:
        case "mid":
            return True
        case "rear hub" | "front hub":
            return False
        case unknown:
            assert_never(unknown)


def is_in_front(bike: Bike) -> bool:
    """Does the motor sit in the front wheel?"""
    match bike.motor.place:
        case "front hub":
            return True
        case "rear hub" | "mid":
            return False
        case unknown:
            assert_never(unknown)


def is_direct(bike: Bike) -> bool:
    """Does the motor turn its output without gears, and so never freewheel?"""
    match bike.motor.drive:
        case "direct":
            return True
        case "geared":
            return False
        case unknown:
            assert_never(unknown)


def has_torque_law(bike: Bike) -> bool:
    """Does the law look at effort? A switchable bike is taken in its torque mode, one without a stated sensor as blind."""
    match bike.assist.sensor:
        case "torque" | "switchable":
            return True
        case "cadence" | None:
            return False
        case unknown:
            assert_never(unknown)


def resolve_by_sensor(bike: Bike, cadence: str, torque: str) -> ResolvedInput:
    """The assumption for the bike's kind of sensor."""
    if bike.assist.sensor is None:
        return MISSING
    return resolve_assumed(torque if has_torque_law(bike) else cadence)
