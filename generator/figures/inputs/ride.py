"""Inputs of rider and road."""

from functools import partial

from generator.compute import coefficients
from generator.figures import show, units
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.inputs.kind import ResolvedInput, define_input, resolve_fixed

define_ride_input = partial(define_input, depends_on_ride=True)


@define_ride_input("rider.mass", "Rider with clothes", units.MASS)
def _(bike, setting):
    return resolve_fixed(setting.rider.mass, units.MASS, f"rider: {setting.rider.name}")


@define_ride_input("rider.load", "Bags", units.MASS)
def _(bike, setting):
    return resolve_fixed(setting.rider.load, units.MASS, f"rider: {setting.rider.name}")


@define_ride_input("rider.power", "Rider's power at the pedals", units.POWER, "rider.effort")
def _(bike, setting):
    row = ASSUMPTIONS["rider.effort"]
    power = setting.rider.power
    text = show.format_quantity(power, units.POWER.metric)
    return ResolvedInput(
        power, power * row.low, power * row.high, "assumed", text, f"rider: {setting.rider.name}"
    )


@define_ride_input("rider.cadence", "Comfortable cadence", units.CADENCE)
def _(bike, setting):
    return resolve_fixed(setting.rider.cadence / 60, units.CADENCE, f"rider: {setting.rider.name}")


@define_ride_input("rider.upper_cadence", "Upper comfortable cadence", units.CADENCE)
def _(bike, setting):
    return resolve_fixed(
        setting.rider.upper_cadence / 60, units.CADENCE, f"rider: {setting.rider.name}"
    )


@define_ride_input("rider.drag_area", "Drag area of rider and bike", units.AREA)
def _(bike, setting):
    span = coefficients.CDA[bike.position]
    scale = coefficients.drag_area(1.0, rider_mass=setting.rider.mass)
    value, low, high = (float(part * scale) for part in (span.default, span.low, span.high))
    text = f"{show.format_quantity(value, units.AREA.metric)}, {bike.position}"
    source = "Wilson, Bicycling Science, 3rd ed., ch. 5; size after Heil 2002"
    return ResolvedInput(value, low, high, "assumed", text, source)


@define_ride_input(
    "road.wind", "Wind at rider height, against on the way out, behind on the way back", units.WIND
)
def _(bike, setting):
    row, wind = ASSUMPTIONS["road.wind_span"], setting.route.wind
    text = show.format_quantity(wind, units.WIND.metric)
    return ResolvedInput(
        wind, wind + row.low, wind + row.high, "assumed", text, f"route: {setting.route.name}"
    )


@define_ride_input("road.temperature", "Air temperature", units.TEMPERATURE)
def _(bike, setting):
    row, warmth = ASSUMPTIONS["road.temperature_span"], setting.route.temperature
    text = show.format_quantity(warmth, units.TEMPERATURE.metric)
    return ResolvedInput(
        warmth, warmth + row.low, warmth + row.high, "assumed", text, f"route: {setting.route.name}"
    )
