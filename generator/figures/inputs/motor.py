"""Inputs of the motor."""

import math

from generator.figures import show, units
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.inputs.kind import (
    INPUTS,
    MISSING,
    ResolvedInput,
    define_input,
    is_direct,
    is_mid_drive,
    resolve_assumed,
    resolve_fixed,
    resolve_stated,
)


@define_input("motor.assisted_speed", "Speed to which the motor assists", units.SPEED)
def _(bike, setting):
    return resolve_stated(bike, bike.motor.assisted_speed, low=0.985, high=1.015) or MISSING


@define_input("motor.torque", "Torque at the motor's output", units.TORQUE)
def _(bike, setting):
    found = resolve_stated(bike, bike.motor.torque, low=0.88, high=1.05)
    return found or resolve_assumed(
        "motor.torque_mid" if is_mid_drive(bike) else "motor.torque_hub"
    )


@define_input("motor.current_limit", "Battery current at which the controller stops", units.CURRENT)
def _(bike, setting):
    found = resolve_stated(bike, bike.motor.current_limit, low=0.95, high=1.05)
    if found:
        return found
    volts = INPUTS["battery.voltage"].resolve(bike, setting).value
    if math.isnan(volts):
        return MISSING
    if peak := bike.motor.peak_power:
        row = ASSUMPTIONS["motor.peak_efficiency"]
        full, least, most = (peak.value / share / volts for share in (row.value, row.high, row.low))
        why = f"from the stated peak power, {peak.text}, at {row.value:.0%} efficiency"
    elif rated := bike.motor.rated_power:
        small = rated.value <= 350.0
        row = ASSUMPTIONS["motor.full_power_small" if small else "motor.full_power_large"]
        full, least, most = (
            rated.value * share / volts for share in (row.value, row.low, row.high)
        )
        why = f"from the rated power, {rated.text}, × {row.value:g}"
    else:
        return MISSING
    return ResolvedInput(
        full, least, most, "assumed", show.format_quantity(full, units.CURRENT.metric), why
    )


@define_input("motor.no_load", "No-load speed of the output at nominal voltage", units.CADENCE)
def _(bike, setting):
    if is_mid_drive(bike):
        return resolve_assumed("motor.no_load_crank")
    speed = bike.motor.assisted_speed
    circumference = INPUTS["wheels.motor_circumference"].resolve(bike, setting).value
    if speed is None or math.isnan(circumference):
        return MISSING
    row = ASSUMPTIONS["motor.no_load_hub"]
    turns = speed.value / circumference
    text = f"{row.value:g} × the assisted speed"
    return ResolvedInput(
        row.value * turns, row.low * turns, row.high * turns, "assumed", text, row.source
    )


@define_input("motor.copper", "Copper loss at full torque", units.POWER)
def _(bike, setting):
    torque = INPUTS["motor.torque"].resolve(bike, setting).value
    return resolve_assumed(
        "motor.copper_mid" if is_mid_drive(bike) else "motor.copper_hub", factor=torque
    )


@define_input("motor.idle", "No-load current", units.CURRENT)
def _(bike, setting):
    if is_mid_drive(bike):
        return resolve_assumed("motor.idle_mid")
    return resolve_assumed("motor.idle_direct" if is_direct(bike) else "motor.idle_geared")


@define_input("motor.reduction", "Efficiency of the reduction", units.SHARE)
def _(bike, setting):
    if is_mid_drive(bike):
        return resolve_assumed("motor.reduction_mid")
    if is_direct(bike):
        return resolve_fixed(1.0, units.SHARE, "a direct drive has none")
    return resolve_assumed("motor.reduction_geared")


@define_input("motor.cadence_limit", "Cadence above which help fades", units.CADENCE)
def _(bike, setting):
    if not is_mid_drive(bike):
        return resolve_fixed(math.inf, units.CADENCE, "a hub motor does not turn with the crank")
    turns = 1.0 / (2.0 * math.pi)  # a spec holds rad/s, a cadence is in turns
    found = resolve_stated(bike, bike.motor.cadence_limit, factor=turns)
    return found or resolve_assumed("motor.cadence_limit")


@define_input("motor.heat_resistance", "Thermal resistance, winding to air", units.THERMAL)
def _(bike, setting):
    return resolve_assumed("motor.heat_mid" if is_mid_drive(bike) else "motor.heat_hub")


@define_input("motor.heat_time", "Thermal time constant", units.MINUTES)
def _(bike, setting):
    return resolve_assumed("motor.heat_time_mid" if is_mid_drive(bike) else "motor.heat_time_hub")
