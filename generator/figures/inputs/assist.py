"""Inputs of the assist law, and assumptions that no spec file overrides."""

from collections.abc import Callable

from generator.figures import units
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.inputs.kind import (
    INPUTS,
    InputKind,
    Resolved,
    Setting,
    assumed,
    by_sensor,
    entry,
    fixed,
    stated,
)
from generator.specs.bike import Bike


@entry("assist.pulses", "Sensor pulses in a crank turn", units.COUNT)
def _(bike, setting):
    if bike.assist.pulses:
        return fixed(float(bike.assist.pulses), units.COUNT, "spec sheet", "claimed")
    return by_sensor(bike, "assist.pulses_cadence", "assist.pulses_torque")


@entry("assist.start_pulses", "Pulses before help comes", units.COUNT)
def _(bike, setting):
    if bike.assist.start_pulses:
        return fixed(float(bike.assist.start_pulses), units.COUNT, "spec sheet", "claimed")
    return by_sensor(bike, "assist.start_cadence", "assist.start_torque")


@entry("assist.ramp", "From no help to full help", units.SECONDS)
def _(bike, setting):
    found = stated(bike, bike.assist.ramp, low=0.8, high=1.2)
    return found or by_sensor(bike, "assist.ramp_cadence", "assist.ramp_torque")


@entry("assist.delay", "From the last pulse to motor off", units.SECONDS)
def _(bike, setting):
    found = stated(bike, bike.assist.delay, low=0.8, high=1.2)
    return found or by_sensor(bike, "assist.delay_cadence", "assist.delay_torque")


def _as_assumed(id: str) -> Callable[[Bike, Setting], Resolved]:
    return lambda bike, setting: assumed(id)


def _register_plain() -> None:
    """Assumptions that no spec file overrides are inputs as they stand."""
    plain = (
        "rider.hill_effort", "rider.flat_out", "rider.start_torque", "road.model", "road.grip", "motor.controller",
        "motor.standby", "motor.winding", "motor.heat_limit", "assist.taper", "assist.fall", "assist.filter",
        "bike.cog_height", "bike.cog_behind", "battery.age",
    )  # fmt: skip
    for id in plain:
        row = ASSUMPTIONS[id]
        INPUTS[id] = InputKind(id, row.title, row.unit, _as_assumed(id), id)


_register_plain()
