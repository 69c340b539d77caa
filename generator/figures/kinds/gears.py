"""Figures of the gears: development, cadence, and speeds that legs and motor reach in them."""

from typing import Any

import numpy as np

from generator.compute import gears
from generator.figures import sources, units
from generator.figures.inputs.case import Array, Case
from generator.figures.registry import figure
from generator.figures.simulation import drives
from generator.specs.units import kmh

WALKING = kmh(6)
"""Walking speed. [m/s]"""


def find_lowest_development(case: Case) -> Array:
    """Development of the lowest gear; shape (bikes, columns). [m]"""
    return np.fmin.reduce(case.compute_once(drives.compute_developments), axis=-1)


def find_highest_development(case: Case) -> Array:
    """Development of the highest gear; shape (bikes, columns). [m]"""
    return np.fmax.reduce(case.compute_once(drives.compute_developments), axis=-1)


DEVELOPMENT: dict[str, Any] = {
    "unit": units.DEVELOPMENT,
    "words": "How far one turn of the cranks takes the bike in this gear.",
    "formula": "development = circumference × chainring ÷ cog × hub ratio",
    "source": sources.ETRTO,
    "worked": ("{wheels.circumference} × gear ratio = {value}",),
}


@figure("gears.lowest", title="Development of the lowest gear", **DEVELOPMENT)
def lowest_development(case):
    return find_lowest_development(case)


@figure("gears.highest", title="Development of the highest gear", **DEVELOPMENT)
def highest_development(case):
    return find_highest_development(case)


@figure(
    "gears.range",
    title="Gear range",
    unit=units.SHARE,
    words="The highest gear over the lowest; 100 % is a single speed.",
    formula="range = highest ÷ lowest development",
    source=sources.IDENTITY,
    worked=("{gears.highest} ÷ {gears.lowest} = {value}",),
    sentence=lambda value, text: (
        "There is one gear only." if value < 1.001 else f"The highest gear is {text} of the lowest."
    ),
)
def gear_range(case):
    return find_highest_development(case) / find_lowest_development(case)


@figure(
    "gears.walking_cadence",
    title="Cadence at 6 km/h in the lowest gear",
    short="Cadence at walking pace",
    unit=units.CADENCE,
    words="How fast the legs turn at walking pace, as on a steep hill. Below 45 rpm the rider grinds.",
    formula="cadence = speed ÷ development",
    source=f"{sources.IDENTITY}; 45 rpm: {sources.PRACTICE}",
    worked=("6 km/h ÷ {gears.lowest} = {value}",),
    sentence=lambda value, text: (
        f"At walking pace the legs turn at {text}, which is grinding."
        if value < 45 / 60
        else f"At walking pace the legs turn at {text}."
    ),
)
def walking_cadence(case):
    return WALKING / find_lowest_development(case)


SPEED_AT: dict[str, Any] = {
    "unit": units.SPEED,
    "formula": "speed = cadence × highest development",
    "source": f"{sources.IDENTITY}; cadences: {sources.PRACTICE}",
}


@figure(
    "gears.comfortable_speed",
    title="Speed at a comfortable cadence in the highest gear",
    short="Speed at comfortable cadence",
    words="How fast the bike goes when the legs turn at the rider's comfortable cadence.",
    conditions="default rider's comfortable cadence",
    worked=("{rider.cadence} × {gears.highest} = {value}",),
    **SPEED_AT,
)
def comfortable_speed(case):
    return find_highest_development(case) * case["rider.cadence"]


@figure(
    "gears.spin_out_speed",
    title="Speed at which comfortable legs run out of gears",
    short="Spin-out speed",
    words="Speed in the highest gear at the rider's upper comfortable cadence. Beyond it the legs can hardly follow.",
    conditions="default rider's upper comfortable cadence",
    worked=("{rider.upper_cadence} × {gears.highest} = {value}",),
    sentence=lambda value, text: f"Beyond {text} the legs hardly keep up.",
    **SPEED_AT,
)
def spin_out_speed(case):
    return find_highest_development(case) * case["rider.upper_cadence"]


@figure(
    "gears.flat_out_speed",
    title="Speed at 110 rpm in the highest gear",
    short="Speed at 110 rpm",
    words="Speed in the highest gear with the legs whirling.",
    worked=("110 rpm × {gears.highest} = {value}",),
    **SPEED_AT,
)
def flat_out_speed(case):
    return find_highest_development(case) * (110 / 60)


@figure(
    "gears.spin_out_margin",
    title="Spin-out margin",
    unit=units.RATIO,
    words=(
        "Speed at the rider's upper comfortable cadence in the highest gear, over the speed to which the motor assists. "
        "Below 1 the legs cannot keep up with the motor: the cranks turn without pushing, which riders call ghost pedalling."
    ),
    formula="margin = spin-out speed ÷ assisted speed",
    source=sources.IDENTITY,
    conditions="default rider's upper comfortable cadence",
    better="higher",
    headline=True,
    worked=("{gears.spin_out_speed} ÷ {motor.assisted_speed} = {value}",),
    sentence=lambda value, text: (
        "The motor assists to a speed at which the legs cannot keep up: ghost pedalling."
        if value < 1.0
        else "The gears reach the speed to which the motor assists."
    ),
)  # fmt: skip
def spin_out_margin(case):
    return gears.spin_out_margin(
        find_highest_development(case),
        upper_cadence=60.0 * case["rider.upper_cadence"],
        assisted_speed=case["motor.assisted_speed"],
    )


INCHES: dict[str, Any] = {
    "unit": units.INCHES,
    "words": "The older measure of a gear: the diameter of a directly driven wheel that would go as far per turn.",
    "formula": "gear inches = development ÷ π",
    "source": sources.IDENTITY,
}


@figure(
    "gears.inches_low",
    title="Lowest gear in gear inches",
    worked=("{gears.lowest} ÷ π = {value}",),
    **INCHES,
)
def inches_low(case):
    return find_lowest_development(case) / np.pi


@figure(
    "gears.inches_high",
    title="Highest gear in gear inches",
    worked=("{gears.highest} ÷ π = {value}",),
    **INCHES,
)
def inches_high(case):
    return find_highest_development(case) / np.pi
