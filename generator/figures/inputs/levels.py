"""Inputs that belong to an assist level: its limits, and what is assumed where it sets none.

Level −1 is the motor off. A bike without listed levels has one, called full.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from generator.figures import show, units
from generator.figures.inputs import MISSING, Resolved, feels_torque, fixed, stated
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.model import Unit
from generator.specs.bike import Bike, Level

FULL = Level("Full")


@dataclass(frozen=True)
class LevelKind:
    id: str
    title: str
    unit: Unit
    resolve: Callable[[Bike, int, float], Resolved]
    """Of a bike, a level and the controller's full current."""
    factor: str


KINDS: dict[str, LevelKind] = {}


def count(bike: Bike) -> int:
    """A bike without listed levels has one."""
    return max(len(bike.assist.levels), 1)


def middle(bike: Bike) -> int:
    """The level at which figures hold unless they say otherwise; the lower of two in the middle."""
    return (count(bike) - 1) // 2


def of(bike: Bike, level: int) -> Level:
    return bike.assist.levels[level] if bike.assist.levels else FULL


def _entry(id: str, title: str, unit: Unit, factor: str):
    def register(resolve):
        KINDS[id] = LevelKind(id, title, unit, resolve, factor)
        return resolve

    return register


def _unset(unit: Unit) -> Resolved:
    return fixed(math.inf, unit, "the level sets none", "claimed")


@_entry("level.speed", "Speed limit of the level", units.SPEED, "motor.assisted_speed")
def _(bike, level, full_current):
    if level < 0:
        return _unset(units.SPEED)
    return stated(bike, of(bike, level).speed, low=0.985, high=1.015) or _unset(units.SPEED)


@_entry("level.current", "Battery-current limit of the level", units.CURRENT, "level.power")
def _(bike, level, full_current):
    if level < 0:
        return fixed(0.0, units.CURRENT, "motor off", "claimed")
    return stated(bike, of(bike, level).current, low=0.93, high=1.07) or _unset(units.CURRENT)


@_entry("level.power", "Share of full power that the level allows", units.SHARE, "level.power")
def _(bike, level, full_current):
    if level < 0:
        return fixed(0.0, units.SHARE, "motor off", "claimed")
    found = stated(bike, of(bike, level).power, low=0.93, high=1.07)
    return found or fixed(1.0, units.SHARE, "the level sets none", "claimed")


@_entry("level.ratio", "Motor power over rider power", units.RATIO, "level.ratio")
def _(bike, level, full_current):
    if level < 0:
        return fixed(0.0, units.RATIO, "motor off", "claimed")
    if bike.assist.sensor is None:
        return MISSING
    if not feels_torque(bike):
        return fixed(math.inf, units.RATIO, "a cadence law does not look at effort", "claimed")
    this = of(bike, level)
    if found := stated(bike, this.ratio, low=0.9, high=1.1):
        return found
    row = ASSUMPTIONS["assist.full_ratio"]
    share, why = 1.0, "no share stated"
    if this.power:
        share, why = this.power.value, f"the level's share, {this.power.text}"
    elif this.current and math.isfinite(full_current):
        share = min(this.current.value / full_current, 1.0)
        why = f"the level's current, {this.current.text}, over the controller's"
    value = row.value * share
    text = show.quantity(value, units.RATIO.metric)
    source = f"{row.value:g} at full power × {why}: {row.source}"
    return Resolved(value, row.low * share, row.high * share, "assumed", text, source)


FACTORS = tuple({kind.factor for kind in KINDS.values()})
