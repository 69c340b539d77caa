"""Parts of a rule: the figures that it uses, its conditions, categories, dates and results."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple


@dataclass(frozen=True, kw_only=True)
class LegalInputs:
    """The stated figures that rules use, in SI units. None means not stated."""

    pedals: bool | None = None
    wheels: int | None = None
    seats: int | None = None
    rated_power: float | None = None
    """Maximum continuous rated power. [W]"""
    thirty_minute_power: float | None = None
    """Power held for thirty minutes, UNECE R85. [W]"""
    greatest_power: float | None = None
    """Maximum power output. [W]"""
    cutoff: float | None = None
    """Speed at which assistance stops. [m/s]"""
    throttle_speed: float | None = None
    """Highest speed by the motor alone, walk assist included; 0 when there is none. [m/s]"""
    progressive: bool | None = None
    """Is output reduced progressively towards the cut-off speed?"""
    stops_with_pedals: bool | None = None
    """Does output stop when the rider stops pedalling?"""
    mass: float | None = None
    """Mass of the bicycle with battery, in running order. [kg]"""
    permitted_mass: float | None = None
    """Permitted mass of bicycle, rider and load. [kg]"""
    voltage: float | None = None
    """Nominal voltage. [V]"""
    chemistry: str | None = None
    """Battery chemistry; only `lead-acid` makes a difference."""
    power_factor: float | None = None
    """Motor power over pedal power. [-]"""
    speedometer: bool | None = None
    tamper_resistant: bool | None = None
    """Is the assistance protected from tampering?"""
    assist_ratios: tuple[tuple[float, float], ...] | None = None
    """Pairs of speed [m/s] and motor force over rider force [-], measured or stated."""
    marking: frozenset[str] | None = None
    """Items on the bicycle's plate: `power`, `maker`, `voltage`, `speed`."""


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
"""Name of each of the `LegalInputs` in words, to follow `not given: `."""


class ConditionAnswer(NamedTuple):
    """Answer of one condition. `holds` is None when it depends on the inputs in `missing`."""

    holds: bool | None
    missing: tuple[str, ...] = ()


Condition = Callable[[LegalInputs], ConditionAnswer]
"""A condition on the inputs, such as `at_most("rated_power", 250.0)`."""


@dataclass(frozen=True)
class LegalCategory:
    """A legal category, which a bike falls in when every condition holds."""

    name: str
    conditions: tuple[Condition, ...]


@dataclass(frozen=True, kw_only=True)
class LegalRule:
    """One region's categories, tried in order while the rule is in force."""

    id: str
    region: str
    title: str
    categories: tuple[LegalCategory, ...]
    source: str
    otherwise: str = "none"
    """Category of a bike that falls in none of `categories`."""
    valid_from: date | None = None
    """First day in force; None when not looked up."""
    valid_to: date | None = None
    """Last day in force; None while it lasts."""
    checked_on: date = date(2026, 11, 25)
    """Day on which the source was last checked."""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class RuleResult:
    """Where a bike would fall under one rule."""

    rule: LegalRule
    category: str
    """A category's name, `none` or `unknown`."""
    missing: tuple[str, ...]
    """Names of the `LegalInputs` that would decide; empty unless unknown."""
    words: str
    """The result as a sentence."""
