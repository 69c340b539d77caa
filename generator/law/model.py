"""What a rule is made of: the figures it looks at, its categories, its dates and its result."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """The figures that rules look at, in SI. None means that nobody has stated it."""

    pedals: bool | None = None
    wheels: int | None = None
    seats: int | None = None
    rated_power: float | None = None
    """Maximum continuous rated power. [W]"""
    thirty_minute_power: float | None = None
    """Power held for thirty minutes, UNECE R85. [W]"""
    greatest_power: float | None = None
    """Maximum output. [W]"""
    cutoff: float | None = None
    """Speed at which assistance stops. [m/s]"""
    throttle_speed: float | None = None
    """Highest speed by the motor alone, walk assist included; 0 when there is none. [m/s]"""
    progressive: bool | None = None
    """Is output reduced progressively towards the cut-off?"""
    stops_with_pedals: bool | None = None
    """Does output stop when the rider stops pedalling?"""
    mass: float | None = None
    """Bicycle with battery, in running order. [kg]"""
    permitted_mass: float | None = None
    """Bicycle, rider and load. [kg]"""
    voltage: float | None = None
    """Nominal. [V]"""
    chemistry: str | None = None
    """`lead-acid` matters; anything else does not."""
    power_factor: float | None = None
    """Motor power over pedal power. [-]"""
    speedometer: bool | None = None
    tamper_resistant: bool | None = None
    """Is the assistance hard to alter?"""
    assist_ratios: tuple[tuple[float, float], ...] | None = None
    """Speed [m/s] and motor force over rider force [-], as measured or stated."""
    marking: frozenset[str] | None = None
    """What the bicycle's plate shows: `power`, `maker`, `voltage`, `speed`."""


INPUT_WORDS = {
    "pedals": "whether it has working pedals",
    "wheels": "the number of wheels",
    "seats": "the number of seats",
    "rated_power": "the maximum continuous rated power",
    "thirty_minute_power": "the thirty-minute power",
    "greatest_power": "the maximum output power",
    "cutoff": "the speed at which assistance stops",
    "throttle_speed": "the speed by the motor alone, or that there is no throttle",
    "progressive": "whether output fades towards the cut-off",
    "stops_with_pedals": "whether output stops with the pedals",
    "mass": "the mass with battery",
    "permitted_mass": "the permitted total mass",
    "voltage": "the battery's voltage",
    "chemistry": "the battery's chemistry",
    "power_factor": "the ratio of motor power to pedal power",
    "speedometer": "whether it has a speedometer",
    "tamper_resistant": "whether the assistance is hard to alter",
    "assist_ratios": "the ratio of motor force to rider force by speed",
    "marking": "what its plate shows",
}
"""Each of the `Inputs`, in words that fit after `not given: `."""


class Answer(NamedTuple):
    """What one condition finds. `holds` is None when the inputs in `missing` would decide."""

    holds: bool | None
    missing: tuple[str, ...] = ()


Condition = Callable[[Inputs], Answer]


@dataclass(frozen=True)
class Category:
    """A category that a bike falls in when every condition holds."""

    name: str
    conditions: tuple[Condition, ...]


@dataclass(frozen=True, kw_only=True)
class Rule:
    """One region's categories, tried in order, for as long as they are in force."""

    id: str
    region: str
    title: str
    categories: tuple[Category, ...]
    source: str
    otherwise: str = "none"
    """Category of a bike that falls in none of `categories`."""
    valid_from: date | None = None
    """First day in force; None when not looked up."""
    valid_to: date | None = None
    """Last day in force; None while it lasts."""
    checked_on: date = date(2026, 11, 25)
    """When the source was last checked."""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Result:
    """Where a bike would fall under one rule."""

    rule: Rule
    category: str
    """A category's name, `none` or `unknown`."""
    missing: tuple[str, ...]
    """Names of the `Inputs` that would decide; empty unless unknown."""
    words: str
    """A sentence to print."""
