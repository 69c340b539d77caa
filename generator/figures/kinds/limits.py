"""Figures of the levels: help lost at speed limits, cruising speeds, spacing."""

import math
from typing import Any

import numpy as np

from generator.compute import assist
from generator.compute.road import STANDARD_GRAVITY
from generator.figures import sources, units
from generator.figures.inputs.case import Array, Case
from generator.figures.kinds.assist import get_level_limit
from generator.figures.kinds.range import choose_rows
from generator.figures.registry import figure
from generator.figures.simulation import drives, rides, steady
from generator.figures.simulation.arrays import find_places, interpolate_at_speed
from generator.figures.variants import use_full_level, use_reference_level, vary_level
from generator.specs.units import kmh

BESIDE = kmh(1)
"""How far from a limit the push is looked at, on either side. [m/s]"""


def interpolate_motor_power(case: Case, rows, speed: Array) -> Array:
    """Motor power at the tyre at a speed, default rider; shape (bikes, columns). [W]"""
    found, columns = case.compute_once(drives.compute_traction, case.rider.id, False)
    force = case.pick_rows(found.motor_force, rows)[
        :, find_places(np.arange(case.columns), columns)
    ]
    return np.maximum(interpolate_at_speed(force, speed, step=drives.SPEED_STEP), 0.0) * speed


def compute_power_around_limit(case: Case) -> tuple[Array, Array]:
    """Motor power 1 km/h under and 1 km/h over the level's own limit; 0 where it has none; each (bikes, columns). [W]"""
    rows = case.find_reference_rows()
    limit = get_level_limit(case, rows)
    none = np.isinf(limit)
    limit = np.where(none, 5.0, limit)
    under, over = (
        interpolate_motor_power(case, rows, limit - BESIDE),
        interpolate_motor_power(case, rows, limit + BESIDE),
    )
    return np.where(none, 0.0 * under, under), np.where(none, 0.0 * over, over)


def list_wall_parts(case: Case) -> dict[str, Any]:
    """Motor power on either side of the level's limit, for the derivation."""
    under, over = case.compute_once(compute_power_around_limit)
    return {"under": (under, units.POWER), "over": (over, units.POWER)}


@figure(
    "assist.wall",
    title="Wall: power lost at the level's own limit",
    short="Wall",
    bounds=(0.0, math.inf),
    unit=units.POWER,
    words=(
        "How many watts the motor drops between 1 km/h under and 1 km/h over the speed limit of the level. A level without a "
        "speed limit of its own has no wall before the bike's cut-off: 0 W."
    ),
    formula="wall = P_motor(limit − 1 km/h) − P_motor(limit + 1 km/h)",
    source=f"our definition; {sources.DC_MACHINE}; taper: {sources.PRACTICE}",
    conditions="default rider at everyday effort; level {level_name}",
    logarithmic=False,
    each=use_reference_level,
    worked=(
        "speed limit of the level: {level.speed}; fade over {assist.taper}",
        "{part.under} at 1 km/h under it, {part.over} at 1 km/h over it: {value} lost",
    ),
    parts=list_wall_parts,
    sentence=lambda value, text: (
        "The level has no speed limit of its own, so there is no wall before the cut-off."
        if value < 1.0
        else f"At the level's speed limit {text} of help vanish within two kilometres an hour."
    ),
)  # fmt: skip
def wall_power(case):
    under, over = case.compute_once(compute_power_around_limit)
    return under - over


@figure(
    "assist.cutoff_wall",
    title="Power lost at the bike's cut-off",
    short="Cut-off",
    unit=units.POWER,
    words="How many watts the motor drops between 1 km/h under and 1 km/h over the speed to which it assists, at this level.",
    formula="P_motor(assisted speed − 1 km/h) − P_motor(assisted speed + 1 km/h)",
    source=f"our definition; {sources.DC_MACHINE}; taper: {sources.PRACTICE}",
    conditions="default rider at everyday effort; level {level_name}",
    logarithmic=False,
    each=use_reference_level,
    sentence=lambda value, text: (
        "The motor has let go before the bike's own cut-off."
        if value < 1.0
        else f"At the bike's cut-off {text} of help vanish."
    ),
    worked=("{motor.assisted_speed}, fade over {assist.taper}: {value}",),
)
def cutoff_wall(case):
    limit, rows = case["motor.assisted_speed"], case.find_reference_rows()
    return interpolate_motor_power(case, rows, limit - BESIDE) - interpolate_motor_power(
        case, rows, limit + BESIDE
    )


def compute_extra_effort(case: Case) -> Array:
    """Extra rider power to go from 1 km/h under to 1 km/h over the limit; shape (bikes, columns). [W]"""
    rows = case.find_reference_rows()
    own = get_level_limit(case, rows)
    limit = np.where(np.isinf(own), case["motor.assisted_speed"], own)
    here = case.compute_once(rides.build_still_road, case.rider.id, case.route.id)
    weight = here.mass * STANDARD_GRAVITY * here.crr

    def find_rider_power(speed: Array) -> Array:
        force = here.factor * (weight + 0.5 * here.air_density * here.cda * speed**2)
        motor = interpolate_motor_power(case, rows, speed) / speed
        return np.maximum(force - motor, 0.0) * speed / case["drivetrain.efficiency"]

    return find_rider_power(limit + BESIDE) - find_rider_power(limit - BESIDE)


@figure(
    "assist.wall_effort",
    title="Wall: extra effort to go 2 km/h faster",
    short="Effort past the wall",
    unit=units.POWER,
    words=(
        "What the rider must add to ride 1 km/h over the limit instead of 1 km/h under it: the limit of the level, or the "
        "bike's where the level has none."
    ),
    formula="P_rider(limit + 1 km/h) − P_rider(limit − 1 km/h), each what the road asks less what the motor gives",
    source=f"our definition; {sources.ROAD_LOAD}",
    conditions="flat, no wind; level {level_name}",
    better="lower",
    logarithmic=False,
    each=use_reference_level,
    worked=("what the road asks less what the motor gives, over less under: {value}",),
    sentence=lambda value, text: f"To ride two kilometres an hour faster there, the legs must add {text}.",
)  # fmt: skip
def wall_effort(case):
    return case.compute_once(compute_extra_effort)


@figure(
    "assist.cruise.level_{level}",
    title="Cruising speed, level {level}",
    unit=units.SPEED,
    words="The steady speed on the flat at this level, with the default rider's everyday effort and no wind.",
    formula="F_rider(v) + F_motor(v) = resistance(v)",
    source=f"{sources.ROAD_LOAD}; {sources.DC_MACHINE}",
    conditions="flat, no wind; default rider; level {level_name}",
    each=vary_level,
    sentence=lambda value, text: f"On the flat it settles at {text}.",
    worked=("speed at which push equals resistance: {value}",),
)
def cruising(case, level):
    return case.pick_rows(
        case.compute_once(steady.get_speed_on_grade, 0.0), choose_rows(case, level)
    )


@figure(
    "assist.level_power.level_{level}",
    title="Share of full power, level {level}",
    bounds=(0.0, 1.0),
    unit=units.SHARE,
    words="The battery current that the level allows, over the controller's.",
    formula="share = A_level ÷ A_controller",
    source=sources.PRACTICE,
    conditions="level {level_name}",
    each=vary_level,
    sentence=lambda value, text: f"The level may use {text} of the power.",
    worked=(
        "level's limit {level.current}, share {level.power}, of {motor.current_limit}: {value}",
    ),
)
def level_power(case, level):
    whole = case.spread_over_rows(case["motor.current_limit"])
    allowed = assist.level_current(
        current=case.get_level_input("level.current"),
        share=case.get_level_input("level.power"),
        full_current=whole,
    )
    return case.pick_rows(assist.share_of_full(allowed, whole), choose_rows(case, level))


@figure(
    "assist.spacing",
    title="Spacing of the levels",
    short="Level spacing",
    unit=units.SPEED_STEP,
    words="How much faster the bike cruises per level, on the average from the lowest level to the highest.",
    formula="(cruising speed of the highest − of the lowest) ÷ (levels − 1)",
    source="our definition",
    conditions="flat, no wind; default rider",
    logarithmic=False,
    each=use_full_level,
    worked=("{assist.cruise.level_1} in the first level, then per step: {value}",),
    sentence=lambda value, text: (
        "The levels hardly differ in speed."
        if value < 0.2
        else f"Each level up is about {text} faster on the flat."
    ),
)
def spacing(case):
    speeds = case.compute_once(steady.get_speed_on_grade, 0.0)
    steps = np.array([[max(len(bike.assist.levels) - 1, 1)] for bike in case.bikes])
    several = np.array([[len(bike.assist.levels) > 1] for bike in case.bikes])
    low = case.pick_rows(speeds, case.find_level_rows(lambda bike: 0))
    high = case.pick_rows(speeds, case.find_full_rows())
    return np.where(several, (high - low) / steps, np.nan)
