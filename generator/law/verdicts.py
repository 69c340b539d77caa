"""What the law would call a bike, on the figures given: the spec file's answers put to the dated rules.

A spec that lists its assist levels and no throttle has none, as the schema says. A bike built to EN 15194 fades towards its
cut-off and stops with the pedals, because the standard asks for it; of the others the sheet must say so.
"""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from generator.content.model import Settings
from generator.law.judge import judge_all
from generator.law.model import INPUT_WORDS, Inputs
from generator.specs.bike import Bike, Stated

FADING_STANDARD = "EN 15194"
"""Asks for progressive reduction and for the stop with the pedals: EN 15194, 4.2.12 and 4.2.13 of TBIS 15194:2019."""


@dataclass(frozen=True)
class Verdict:
    """Where one bike would fall under one rule, as plain data for pages."""

    rule: str
    region: str
    title: str
    category: str
    """A category's name, `none` or `unknown`."""
    words: str
    missing: tuple[str, ...]
    """What is not given, in words."""
    source: str
    checked_on: datetime.date
    valid_from: datetime.date | None
    note: str


def day_of(settings: Settings, bikes: Iterable[Bike]) -> datetime.date | None:
    """The day whose rules hold: when the publication was last gone through, else its newest price."""
    prices = [bike.price.date for bike in bikes if bike.price]
    return settings.updated or max(prices, default=None)


def _value(stated: Stated | None) -> float | None:
    return stated.value if stated else None


def inputs_of(bike: Bike) -> Inputs:
    """Return what a spec file tells the rules; None where it is silent."""
    assist, motor = bike.assist, bike.motor
    listed = bool(assist.levels)
    throttle = _value(assist.throttle.speed) if assist.throttle else None
    if throttle is None and listed:
        throttle = _value(assist.start_assist) or 0.0
    standard = any(mark.standard.startswith(FADING_STANDARD) for mark in bike.certifications)
    ratios = [level.ratio.value for level in assist.levels if level.ratio]
    every = listed and len(ratios) == len(assist.levels) and assist.sensor == "torque"
    return Inputs(
        pedals=True,
        wheels=2,
        rated_power=_value(motor.rated_power),
        thirty_minute_power=_value(motor.thirty_minute_power),
        greatest_power=_value(motor.peak_power),
        cutoff=_value(motor.assisted_speed),
        throttle_speed=throttle,
        progressive=True if standard else None,
        stops_with_pedals=False if assist.throttle else True if standard else None,
        mass=_value(bike.mass),
        permitted_mass=_value(bike.permitted_mass),
        voltage=_value(bike.battery.voltage),
        chemistry=bike.battery.chemistry,
        power_factor=max(ratios) if every else None,
    )


def verdicts(bike: Bike, on_date: datetime.date) -> tuple[Verdict, ...]:
    """Return where a bike would fall under each rule in force on a day."""
    return tuple(
        Verdict(
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
        for result in judge_all(inputs_of(bike), on_date)
    )
