"""Inputs of battery and charger."""

import math

from generator.compute import battery
from generator.figures import show, units
from generator.figures.inputs.kind import (
    INPUTS,
    MISSING,
    ResolvedInput,
    define_input,
    resolve_stated,
)


@define_input("battery.energy", "Energy on the label", units.ENERGY)
def _(bike, setting):
    pack = bike.battery
    found = resolve_stated(bike, pack.energy, low=0.95, high=1.01)
    if found:
        return found
    if pack.voltage and pack.charge:
        value = pack.voltage.value * pack.charge.value
        text = f"{pack.voltage.text} × {pack.charge.text}"
        return ResolvedInput(
            value, 0.95 * value, 1.01 * value, "claimed", text, "volts × amp hours"
        )
    return MISSING


@define_input("battery.voltage", "Nominal voltage", units.VOLTAGE)
def _(bike, setting):
    pack = bike.battery
    if found := resolve_stated(bike, pack.voltage):
        return found
    if pack.energy and pack.charge:
        value = pack.energy.value / pack.charge.value
        text = f"{pack.energy.text} ÷ {pack.charge.text}"
        return ResolvedInput(value, value, value, "claimed", text, "watt hours ÷ amp hours")
    return MISSING


@define_input("battery.usable_share", "Usable share of the battery", units.SHARE)
def _(bike, setting):
    span = battery.USABLE_FRACTION
    text = show.format_quantity(span.default, units.SHARE.metric)
    return ResolvedInput(span.default, span.low, span.high, "assumed", text, "value from memory")


@define_input("battery.resistance", "Resistance of battery and leads", units.RESISTANCE)
def _(bike, setting):
    volts = INPUTS["battery.voltage"].resolve(bike, setting)
    energy = INPUTS["battery.energy"].resolve(bike, setting)
    if math.isnan(volts.value) or math.isnan(energy.value):
        return MISSING
    series = float(battery.cells_in_series(volts.value))
    parallel = max(energy.value / 3600 / volts.value / 3.2, 1.0)  # 3.2 Ah, a usual cell
    span = battery.CELL_RESISTANCE
    value, low, high = (
        0.02 + part * series / parallel for part in (span.default, span.low, span.high)
    )
    text = show.format_quantity(value, units.RESISTANCE.metric)
    return ResolvedInput(value, low, high, "assumed", text, "30–60 mΩ a cell: value from memory")


@define_input("battery.charger_current", "Charger current", units.CURRENT)
def _(bike, setting):
    return resolve_stated(bike, bike.battery.charger_current) or MISSING


@define_input("battery.charger_efficiency", "Efficiency of the charger", units.SHARE)
def _(bike, setting):
    span = battery.CHARGER_EFFICIENCY
    text = show.format_quantity(span.default, units.SHARE.metric)
    return ResolvedInput(span.default, span.low, span.high, "assumed", text, "value from memory")
