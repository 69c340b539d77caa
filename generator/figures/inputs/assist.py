"""Inputs of the assist law, and assumptions that no spec file overrides."""

from collections.abc import Callable

from generator.figures import units
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.inputs.kind import (
    INPUTS,
    InputKind,
    ResolvedInput,
    RideConditions,
    define_input,
    resolve_assumed,
    resolve_by_sensor,
    resolve_fixed,
    resolve_stated,
)
from generator.specs.bike import Bike


@define_input("assist.pulses", "Sensor pulses in a crank turn", units.COUNT)
def _(bike, setting):
    if bike.assist.pulses:
        return resolve_fixed(float(bike.assist.pulses), units.COUNT, "spec sheet", "claimed")
    return resolve_by_sensor(bike, "assist.pulses_cadence", "assist.pulses_torque")


@define_input("assist.start_pulses", "Pulses before help comes", units.COUNT)
def _(bike, setting):
    if bike.assist.start_pulses:
        return resolve_fixed(float(bike.assist.start_pulses), units.COUNT, "spec sheet", "claimed")
    return resolve_by_sensor(bike, "assist.start_cadence", "assist.start_torque")


@define_input("assist.ramp", "From no help to full help", units.SECONDS)
def _(bike, setting):
    found = resolve_stated(bike, bike.assist.ramp, low=0.8, high=1.2)
    return found or resolve_by_sensor(bike, "assist.ramp_cadence", "assist.ramp_torque")


@define_input("assist.delay", "From the last pulse to motor off", units.SECONDS)
def _(bike, setting):
    found = resolve_stated(bike, bike.assist.delay, low=0.8, high=1.2)
    return found or resolve_by_sensor(bike, "assist.delay_cadence", "assist.delay_torque")


def _make_assumed_resolver(id: str) -> Callable[[Bike, RideConditions], ResolvedInput]:
    return lambda bike, setting: resolve_assumed(id)


def _register_assumptions() -> None:
    """Register as inputs the assumptions that no spec file overrides."""
    ids = (
        "rider.hill_effort", "rider.flat_out", "rider.start_torque", "road.model", "road.grip", "motor.controller",
        "motor.standby", "motor.winding", "motor.heat_limit", "assist.taper", "assist.fall", "assist.filter",
        "bike.cog_height", "bike.cog_behind", "battery.age",
    )  # fmt: skip
    for id in ids:
        row = ASSUMPTIONS[id]
        INPUTS[id] = InputKind(id, row.title, row.unit, _make_assumed_resolver(id), id)


_register_assumptions()
