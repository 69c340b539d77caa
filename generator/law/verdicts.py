"""Legal categories of bikes: the figures of a spec file put to the dated rules.

A spec file that lists assist levels and no throttle means that there is none, as the schema says. Assistance of a bike
built to EN 15194 fades towards its cut-off speed and stops with the pedals, as the standard requires; for other bikes
neither is known.
"""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import assert_never

from generator.content.model import Settings
from generator.law.judge import apply_rules
from generator.law.model import INPUT_WORDS, LegalInputs
from generator.specs.bike import Bike, Stated

FADING_STANDARD = "EN 15194"
"""Requires progressive reduction and the stop with the pedals: EN 15194, 4.2.12 and 4.2.13 of TBIS 15194:2019."""


@dataclass(frozen=True)
class LegalVerdict:
    """The category of one bike under one rule, as plain data for pages."""

    rule: str
    region: str
    title: str
    category: str
    """A category's name, `none` or `unknown`."""
    words: str
    missing: tuple[str, ...]
    """Inputs that are not given, in words."""
    source: str
    checked_on: datetime.date
    valid_from: datetime.date | None
    note: str


def find_rules_day(settings: Settings, bikes: Iterable[Bike]) -> datetime.date | None:
    """The day whose rules apply: the publication's `updated`, else the day of its newest price."""
    prices = [bike.price.date for bike in bikes if bike.price]
    return settings.updated or max(prices, default=None)


def _get_value(stated: Stated | None) -> float | None:
    return stated.value if stated else None


def _always_feels_torque(bike: Bike) -> bool:
    """In every mode: the motor's power is then never more than the ratio allows."""
    match bike.assist.sensor:
        case "torque":
            return True
        case "cadence" | "switchable" | None:
            return False
        case unknown:
            assert_never(unknown)


def read_legal_inputs(bike: Bike) -> LegalInputs:
    """The inputs of the rules that a spec file states; None where it is silent."""
    assist, motor = bike.assist, bike.motor
    listed = bool(assist.levels)
    throttle = _get_value(assist.throttle.speed) if assist.throttle else None
    if throttle is None and listed:
        throttle = _get_value(assist.start_assist) or 0.0
    standard = any(mark.standard.startswith(FADING_STANDARD) for mark in bike.certifications)
    ratios = [level.ratio.value for level in assist.levels if level.ratio]
    every = listed and len(ratios) == len(assist.levels) and _always_feels_torque(bike)
    return LegalInputs(
        pedals=True,
        wheels=2,
        rated_power=_get_value(motor.rated_power),
        thirty_minute_power=_get_value(motor.thirty_minute_power),
        greatest_power=_get_value(motor.peak_power),
        cutoff=_get_value(motor.assisted_speed),
        throttle_speed=throttle,
        progressive=True if standard else None,
        stops_with_pedals=False if assist.throttle else True if standard else None,
        mass=_get_value(bike.mass),
        permitted_mass=_get_value(bike.permitted_mass),
        voltage=_get_value(bike.battery.voltage),
        chemistry=bike.battery.chemistry,
        power_factor=max(ratios) if every else None,
    )


def find_verdicts(bike: Bike, on_date: datetime.date) -> tuple[LegalVerdict, ...]:
    """The category of a bike under each rule in force on a day."""
    return tuple(
        LegalVerdict(
            rule=result.rule.id,
            region=result.rule.region,
            title=result.rule.title,
            category=result.category,
            words=result.words,
            missing=tuple(INPUT_WORDS[name] for name in result.missing),
            source=result.rule.source,
            checked_on=result.rule.checked_on,
            valid_from=result.rule.valid_from,
            note=result.rule.note,
        )
        for result in apply_rules(read_legal_inputs(bike), on_date)
    )
