"""What an input of the figures is, and the small vocabulary in which inputs are written.

An input is what the spec file states (measured before claimed), or the assumption that stands in. NaN means that it
is missing and that nothing sensible can be assumed.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from generator.content.model import Rider, Route
from generator.figures import show
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.model import Unit
from generator.specs.bike import Basis, Bike, Stated

MEASURED_SPAN = 0.005
"""Half span of a value of our own tests. [-]  Our choice."""


@dataclass(frozen=True)
class Resolved:
    """One input of one bike. SI."""

    value: float
    low: float
    high: float
    basis: Basis
    text: str
    source: str


MISSING = Resolved(math.nan, math.nan, math.nan, "assumed", "not stated", "")


@dataclass(frozen=True)
class Setting:
    """Who rides and where: what is the same for all bikes."""

    rider: Rider
    route: Route


@dataclass(frozen=True)
class InputKind:
    id: str
    title: str
    unit: Unit
    resolve: Callable[[Bike, Setting], Resolved]
    factor: str
    """Inputs with one factor move together."""
    of_setting: bool = False
    """Does it depend on who rides or where?"""


INPUTS: dict[str, InputKind] = {}


def entry(id: str, title: str, unit: Unit, factor: str | None = None, *, of_setting: bool = False):
    """Register the resolver of an input."""

    def register(resolve: Callable[[Bike, Setting], Resolved]):
        INPUTS[id] = InputKind(id, title, unit, resolve, factor or id, of_setting)
        return resolve

    return register


def stated(
    bike: Bike,
    quantity: Stated | None,
    *,
    low: float = 1.0,
    high: float = 1.0,
    factor: float = 1.0,
) -> Resolved | None:
    """A stated value with its span as factors on it; None when the spec is silent.

    `factor` goes from the spec's unit to that of the input, where they differ.
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
    return Resolved(value, value * low, value * high, quantity.basis, quantity.text, where)


def assumed(id: str, *, factor: float = 1.0) -> Resolved:
    """The assumption of that id, times a factor."""
    row = ASSUMPTIONS[id]
    text = show.quantity(row.value * factor, row.unit.metric)
    return Resolved(
        row.value * factor, row.low * factor, row.high * factor, "assumed", text, row.source
    )


def fixed(value: float, unit: Unit, source: str, basis: Basis = "assumed") -> Resolved:
    return Resolved(value, value, value, basis, show.quantity(value, unit.metric), source)


def is_mid(bike: Bike) -> bool:
    return bike.motor.place == "mid"


def feels_torque(bike: Bike) -> bool:
    """Does the law look at effort? A switchable bike is taken in its torque mode."""
    return bike.assist.sensor in ("torque", "switchable")


def by_sensor(bike: Bike, cadence: str, torque: str) -> Resolved:
    """The assumption for the bike's kind of sensor."""
    if bike.assist.sensor is None:
        return MISSING
    return assumed(torque if feels_torque(bike) else cadence)
