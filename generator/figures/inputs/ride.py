"""Inputs of rider and road."""

from functools import partial

from generator.compute import coefficients
from generator.figures import show, units
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.inputs.kind import Resolved, entry, fixed

of_setting = partial(entry, of_setting=True)


@of_setting("rider.mass", "Rider with clothes", units.MASS)
def _(bike, setting):
    return fixed(setting.rider.mass, units.MASS, f"rider: {setting.rider.name}")


@of_setting("rider.load", "Bags", units.MASS)
def _(bike, setting):
    return fixed(setting.rider.load, units.MASS, f"rider: {setting.rider.name}")


@of_setting("rider.power", "Rider's power at the pedals", units.POWER, "rider.effort")
def _(bike, setting):
    row = ASSUMPTIONS["rider.effort"]
    power = setting.rider.power
    text = show.quantity(power, units.POWER.metric)
    return Resolved(
        power, power * row.low, power * row.high, "assumed", text, f"rider: {setting.rider.name}"
    )


@of_setting("rider.cadence", "Comfortable cadence", units.CADENCE)
def _(bike, setting):
    return fixed(setting.rider.cadence / 60, units.CADENCE, f"rider: {setting.rider.name}")


@of_setting("rider.upper_cadence", "Upper comfortable cadence", units.CADENCE)
def _(bike, setting):
    return fixed(setting.rider.upper_cadence / 60, units.CADENCE, f"rider: {setting.rider.name}")


@of_setting("rider.drag_area", "Drag area of rider and bike", units.AREA)
def _(bike, setting):
    span = coefficients.CDA[bike.position]
    scale = coefficients.drag_area(1.0, rider_mass=setting.rider.mass)
    value, low, high = (float(part * scale) for part in (span.default, span.low, span.high))
    text = f"{show.quantity(value, units.AREA.metric)}, {bike.position}"
    source = "Wilson, Bicycling Science, 3rd ed., ch. 5; size after Heil 2002"
    return Resolved(value, low, high, "assumed", text, source)


@of_setting(
    "road.wind", "Wind at rider height, against on the way out, behind on the way back", units.WIND
)
def _(bike, setting):
    row, wind = ASSUMPTIONS["road.wind_span"], setting.route.wind
    text = show.quantity(wind, units.WIND.metric)
    return Resolved(
        wind, wind + row.low, wind + row.high, "assumed", text, f"route: {setting.route.name}"
    )


@of_setting("road.temperature", "Air temperature", units.TEMPERATURE)
def _(bike, setting):
    row, warmth = ASSUMPTIONS["road.temperature_span"], setting.route.temperature
    text = show.quantity(warmth, units.TEMPERATURE.metric)
    return Resolved(
        warmth, warmth + row.low, warmth + row.high, "assumed", text, f"route: {setting.route.name}"
    )
