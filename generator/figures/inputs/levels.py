"""Inputs that belong to an assist level: its limits, and the assumptions where it sets none.

Level −1 is the motor off. A bike without listed levels has one, called full.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from generator.figures import show, units
from generator.figures.inputs import (
    MISSING,
    ResolvedInput,
    has_torque_law,
    resolve_fixed,
    resolve_stated,
)
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.model import Unit
from generator.specs.bike import Bike, Level

FULL_LEVEL = Level("Full")


@dataclass(frozen=True)
class LevelInputKind:
    """An input of a level as registered, without the value of any bike."""

    id: str
    title: str
    unit: Unit
    resolve: Callable[[Bike, int, float], ResolvedInput]
    """From a bike, the number of a level and the controller's full current [A]."""
    factor: str


LEVEL_INPUTS: dict[str, LevelInputKind] = {}


def count_levels(bike: Bike) -> int:
    """Number of a bike's levels; 1 where none are listed."""
    return max(len(bike.assist.levels), 1)


def find_middle_level(bike: Bike) -> int:
    """Number of the middle level, the lower of two; figures hold at it unless they say otherwise."""
    return (count_levels(bike) - 1) // 2


def get_level(bike: Bike, level: int) -> Level:
    return bike.assist.levels[level] if bike.assist.levels else FULL_LEVEL


def _define_level_input(id: str, title: str, unit: Unit, factor: str):
    def register(resolve):
        LEVEL_INPUTS[id] = LevelInputKind(id, title, unit, resolve, factor)
        return resolve

    return register


def _resolve_unset(unit: Unit) -> ResolvedInput:
    return resolve_fixed(math.inf, unit, "the level sets none", "claimed")


@_define_level_input("level.speed", "Speed limit of the level", units.SPEED, "motor.assisted_speed")
def _(bike, level, full_current):
    if level < 0:
        return _resolve_unset(units.SPEED)
    return resolve_stated(
        bike, get_level(bike, level).speed, low=0.985, high=1.015
    ) or _resolve_unset(units.SPEED)


@_define_level_input(
    "level.current", "Battery-current limit of the level", units.CURRENT, "level.power"
)
def _(bike, level, full_current):
    if level < 0:
        return resolve_fixed(0.0, units.CURRENT, "motor off", "claimed")
    return resolve_stated(
        bike, get_level(bike, level).current, low=0.93, high=1.07
    ) or _resolve_unset(units.CURRENT)


@_define_level_input(
    "level.power", "Share of full power that the level allows", units.SHARE, "level.power"
)
def _(bike, level, full_current):
    if level < 0:
        return resolve_fixed(0.0, units.SHARE, "motor off", "claimed")
    found = resolve_stated(bike, get_level(bike, level).power, low=0.93, high=1.07)
    return found or resolve_fixed(1.0, units.SHARE, "the level sets none", "claimed")


@_define_level_input("level.ratio", "Motor power over rider power", units.RATIO, "level.ratio")
def _(bike, level, full_current):
    if level < 0:
        return resolve_fixed(0.0, units.RATIO, "motor off", "claimed")
    if bike.assist.sensor is None:
        return MISSING
    if not has_torque_law(bike):
        return resolve_fixed(
            math.inf, units.RATIO, "a cadence law does not look at effort", "claimed"
        )
    this = get_level(bike, level)
    if found := resolve_stated(bike, this.ratio, low=0.9, high=1.1):
        return found
    row = ASSUMPTIONS["assist.full_ratio"]
    share, why = 1.0, "no share stated"
    if this.power:
        share, why = this.power.value, f"the level's share, {this.power.text}"
    elif this.current and math.isfinite(full_current):
        share = min(this.current.value / full_current, 1.0)
        why = f"the level's current, {this.current.text}, over the controller's"
    value = row.value * share
    text = show.format_quantity(value, units.RATIO.metric)
    source = f"{row.value:g} at full power × {why}: {row.source}"
    return ResolvedInput(value, row.low * share, row.high * share, "assumed", text, source)


FACTORS = tuple({kind.factor for kind in LEVEL_INPUTS.values()})
