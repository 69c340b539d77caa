"""Kinds of motor, sensor, gears, frame and tyre: each is handled, and one that nobody handles is never taken for another."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

import pytest

from generator.figures.criteria import comparable_values
from generator.figures.inputs import INPUTS, RideConditions
from generator.figures.simulation import pedalling
from generator.figures.table.tabulate import tabulate
from generator.law import verdicts
from generator.pages.notices import cautions
from generator.specs import bike as spec
from generator.specs.bike import Bike
from tests.figures import demo

SCHEMA = json.loads((Path(__file__).parents[2] / "bikes" / "bike.schema.json").read_text("utf-8"))
KINDS: dict[str, Any] = {
    "motor.place": spec.MotorPlace,
    "motor.drive": spec.MotorDrive,
    "assist.sensor": spec.Sensor,
    "drivetrain.shifting": spec.Shifting,
    "frame": spec.Frame,
    "position": spec.Position,
    "tyres.tread": spec.Tread,
}
"""By the key in the spec file."""
NEW: Any = "a new kind"

Change = Callable[[Bike, Any], Bike]
CHANGES: dict[str, Change] = {
    "motor.place": lambda bike, kind: replace(bike, motor=replace(bike.motor, place=kind)),
    "motor.drive": lambda bike, kind: replace(bike, motor=replace(bike.motor, drive=kind)),
    "assist.sensor": lambda bike, kind: replace(bike, assist=replace(bike.assist, sensor=kind)),
    "drivetrain.shifting": lambda bike, kind: replace(
        bike, drivetrain=replace(bike.drivetrain, shifting=kind)
    ),
    "frame": lambda bike, kind: replace(bike, frame=kind),
    "position": lambda bike, kind: replace(bike, position=kind),
    "tyres.tread": lambda bike, kind: replace(bike, tread=kind),
}
ASKED: dict[str, tuple[Callable[[Bike], object], ...]] = {
    "motor.place": (comparable_values.classify_drive,),
    "assist.sensor": (
        pedalling.find_assist_law,
        verdicts.read_legal_inputs,
        lambda bike: cautions.find_cautions("feel", bike),
    ),
    "drivetrain.shifting": (comparable_values.classify_gears,),
    "frame": (comparable_values.classify_body,),
}
"""What asks for the kind beside the inputs of figures."""


def silent() -> Bike:
    """A bike of the demo whose sheet leaves to assumptions what it can, and whose levels all set a ratio."""
    found = next(
        bike
        for bike in demo.bikes()
        if bike.motor.place == "rear hub" and bike.assist.levels and "cargo" not in bike.uses
    )
    ratio = spec.Stated(1.0, "1")
    levels = tuple(replace(level, ratio=ratio) for level in found.assist.levels)
    return replace(
        found,
        mass=None,
        tests=(),
        rides=(),
        motor=replace(found.motor, torque=None),
        assist=replace(found.assist, levels=levels, ramp=None, delay=None, pulses=None),
    )


@pytest.mark.parametrize("key", KINDS)
def test_the_schema_and_the_types_name_the_same_kinds(key: str) -> None:
    rule = SCHEMA
    for part in key.split("."):
        rule = rule["properties"][part]

    assert list(get_args(KINDS[key])) == rule["enum"]


@pytest.mark.parametrize("key", KINDS)
def test_every_kind_is_handled(key: str) -> None:
    content = demo.content()
    setting = RideConditions(content.rider, content.routes[0])
    for kind in get_args(KINDS[key]):
        bike = CHANGES[key](silent(), kind)
        for each in INPUTS.values():
            each.resolve(bike, setting)
        for ask in ASKED.get(key, ()):
            ask(bike)


@pytest.mark.parametrize("key", KINDS)
def test_a_kind_that_nobody_handles_stops_the_computing(key: str) -> None:
    """Once, an unknown sensor counted as one of cadence, and an unknown place of the motor as a hub."""
    bike = CHANGES[key](silent(), NEW)

    with pytest.raises((AssertionError, KeyError), match=NEW):
        tabulate([bike], demo.content())
    for ask in ASKED.get(key, ()):
        with pytest.raises(AssertionError, match=NEW):
            ask(bike)
