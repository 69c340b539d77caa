"""Inputs of the figures: for each bike its value, span and basis, and the random factor that moves it.

An input is what the spec file states (measured before claimed), or the assumption that stands in. NaN means that it
is missing and that nothing sensible can be assumed.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from generator.compute import battery, coefficients, gears
from generator.content.model import Rider, Route
from generator.figures import show, units
from generator.figures.assumptions import ASSUMPTIONS
from generator.figures.model import Unit
from generator.specs.bike import Bike, Stated

MEASURED_SPAN = 0.005
"""Half span of a value of our own tests. [-]  Our choice."""


@dataclass(frozen=True)
class Resolved:
    """One input of one bike. SI."""

    value: float
    low: float
    high: float
    basis: str
    """claimed, measured, assumed or computed."""
    text: str
    source: str


MISSING = Resolved(math.nan, math.nan, math.nan, "missing", "not stated", "")


@dataclass(frozen=True)
class Setting:
    """Who rides and where: what is the same for all bikes."""

    rider: Rider
    route: Route


@dataclass(frozen=True)
class InputKind:
    id: str
    title: str
    unit: Unit
    resolve: Callable[[Bike, Setting], Resolved]
    factor: str
    """Inputs with one factor move together."""


INPUTS: dict[str, InputKind] = {}


def entry(id: str, title: str, unit: Unit, factor: str | None = None):
    """Register the resolver of an input."""

    def register(resolve: Callable[[Bike, Setting], Resolved]):
        INPUTS[id] = InputKind(id, title, unit, resolve, factor or id)
        return resolve

    return register


def stated(
    bike: Bike, quantity: Stated | None, *, low: float = 1.0, high: float = 1.0
) -> Resolved | None:
    """A stated value with its span as factors on it; None when the spec is silent."""
    if quantity is None:
        return None
    if quantity.basis == "measured":
        low, high = 1.0 - MEASURED_SPAN, 1.0 + MEASURED_SPAN
    value = quantity.value
    titles = {source.id: source.title for source in bike.sources}
    where = titles.get(quantity.source or "", quantity.source or "")
    if quantity.date:
        where = f"{where}, {quantity.date.isoformat()}" if where else quantity.date.isoformat()
    return Resolved(value, value * low, value * high, quantity.basis, quantity.text, where)


def assumed(id: str, *, factor: float = 1.0) -> Resolved:
    """The assumption of that id, times a factor."""
    row = ASSUMPTIONS[id]
    text = show.quantity(row.value * factor, row.unit.metric)
    return Resolved(
        row.value * factor, row.low * factor, row.high * factor, "assumed", text, row.source
    )


def fixed(value: float, unit: Unit, source: str, basis: str = "assumed") -> Resolved:
    return Resolved(value, value, value, basis, show.quantity(value, unit.metric), source)


def is_mid(bike: Bike) -> bool:
    return bike.motor.place == "mid"


def feels_torque(bike: Bike) -> bool:
    """Does the law look at effort? A switchable bike is taken in its torque mode."""
    return bike.assist.sensor in ("torque", "switchable")


def _pair(bike: Bike, cadence: str, torque: str) -> Resolved:
    if bike.assist.sensor is None:
        return MISSING
    return assumed(torque if feels_torque(bike) else cadence)


# Rider


@entry("rider.mass", "Rider with clothes", units.MASS)
def _(bike, setting):
    return fixed(setting.rider.mass, units.MASS, f"rider: {setting.rider.name}")


@entry("rider.load", "Bags", units.MASS)
def _(bike, setting):
    return fixed(setting.rider.load, units.MASS, f"rider: {setting.rider.name}")


@entry("rider.power", "Rider's power at the pedals", units.POWER, "rider.effort")
def _(bike, setting):
    row = ASSUMPTIONS["rider.effort"]
    power = setting.rider.power
    text = show.quantity(power, units.POWER.metric)
    return Resolved(
        power, power * row.low, power * row.high, "assumed", text, f"rider: {setting.rider.name}"
    )


@entry("rider.cadence", "Comfortable cadence", units.CADENCE)
def _(bike, setting):
    return fixed(setting.rider.cadence / 60, units.CADENCE, f"rider: {setting.rider.name}")


@entry("rider.upper_cadence", "Upper comfortable cadence", units.CADENCE)
def _(bike, setting):
    return fixed(setting.rider.upper_cadence / 60, units.CADENCE, f"rider: {setting.rider.name}")


@entry("rider.drag_area", "Drag area of rider and bike", units.AREA)
def _(bike, setting):
    span = coefficients.CDA[bike.position]
    scale = coefficients.drag_area(1.0, rider_mass=setting.rider.mass)
    value, low, high = (float(part * scale) for part in (span.default, span.low, span.high))
    text = f"{show.quantity(value, units.AREA.metric)}, {bike.position}"
    source = "Wilson, Bicycling Science, 3rd ed., ch. 5; size after Heil 2002"
    return Resolved(value, low, high, "assumed", text, source)


# Road


@entry("road.wind", "Wind at rider height, against on the way out, behind on the way back", units.WIND)
def _(bike, setting):
    row, wind = ASSUMPTIONS["road.wind_span"], setting.route.wind
    text = show.quantity(wind, units.WIND.metric)
    return Resolved(
        wind, wind + row.low, wind + row.high, "assumed", text, f"route: {setting.route.name}"
    )


@entry("road.temperature", "Air temperature", units.TEMPERATURE)
def _(bike, setting):
    row, warmth = ASSUMPTIONS["road.temperature_span"], setting.route.temperature
    text = show.quantity(warmth, units.TEMPERATURE.metric)
    return Resolved(
        warmth, warmth + row.low, warmth + row.high, "assumed", text, f"route: {setting.route.name}"
    )


# Bike and tyres


@entry("bike.mass", "Mass of the bike", units.MASS)
def _(bike, setting):
    weighed = next((test.value for test in bike.tests if test.what == "mass"), None)
    found = stated(bike, weighed) or stated(bike, bike.mass, low=0.98, high=1.04)
    if found:
        return found
    cargo = "cargo" in bike.uses or bike.frame in ("long-tail", "front box")
    kind = "cargo" if cargo else "folding" if bike.frame == "folding" else "city"
    return assumed(f"bike.mass_{kind}")


@entry("tyre.crr", "Rolling resistance coefficient", units.COEFFICIENT)
def _(bike, setting):
    span = coefficients.CRR[bike.tread]
    reference = coefficients.REFERENCE_PRESSURE[bike.tread]
    pressure = bike.tyre_pressure.value if bike.tyre_pressure else reference

    def at(base: float) -> float:
        return float(
            coefficients.crr(
                base,
                surface_factor=1.0,
                pressure=pressure,
                reference_pressure=reference,
                temperature=coefficients.REFERENCE_TEMPERATURE,
            )
        )

    value = at(span.default)
    text = f"{value:.4f}, {bike.tread} tread at {pressure / 1e5:.1f} bar"
    return Resolved(
        value, at(span.low), at(span.high), "assumed", text, "engineering tables; Grappe et al. 1999"
    )


@entry("wheels.circumference", "Rolling circumference of the driven wheel", units.CIRCUMFERENCE)
def _(bike, setting):
    rolled = next((test.value for test in bike.tests if test.what == "rollout"), None)
    found = stated(bike, rolled) or stated(bike, bike.wheels.rollout, low=0.995, high=1.005)
    if found:
        return found
    if bike.wheels.etrto_bead is None or bike.wheels.etrto_width is None:
        return MISSING
    value = float(gears.etrto_circumference(bike.wheels.etrto_width, bike.wheels.etrto_bead))
    return Resolved(
        value, value * 0.985, value * 1.003, "claimed", bike.wheels.text, "ETRTO size, ISO 5775"
    )


@entry("wheels.motor_circumference", "Circumference of the wheel that the motor sits in",
       units.CIRCUMFERENCE, "wheels.circumference")  # fmt: skip
def _(bike, setting):
    if bike.motor.place == "front hub" and bike.wheels.front_etrto:
        width, bead = bike.wheels.front_etrto
        value = float(gears.etrto_circumference(width, bead))
        return Resolved(
            value, value * 0.985, value * 1.003, "claimed", "front wheel", "ETRTO size, ISO 5775"
        )
    return INPUTS["wheels.circumference"].resolve(bike, setting)


@entry("drivetrain.gears", "Gears", units.COUNT)
def _(bike, setting):
    train = bike.drivetrain
    if not train.chainrings or not train.cogs:
        return MISSING
    count = float(len(train.chainrings) * len(train.cogs) * max(len(train.hub_ratios), 1))
    teeth = " × ".join(
        "/".join(map(str, part)) for part in (train.chainrings, train.cogs, train.hub_ratios) if part
    )
    return Resolved(count, count, count, "claimed", teeth, "spec sheet")


@entry("drivetrain.efficiency", "Efficiency of the drivetrain", units.SHARE)
def _(bike, setting):
    span = gears.DRIVETRAIN_EFFICIENCY[bike.drivetrain.shifting]
    text = show.quantity(span.default, units.SHARE.metric)
    return Resolved(
        span.default, span.low, span.high, "assumed", f"{text}, {bike.drivetrain.shifting}",
        "Smit et al. 2023; Wilson; hub gears from memory",
    )  # fmt: skip


@entry("bike.wheelbase", "Wheelbase", units.MILLIMETRES)
def _(bike, setting):
    return stated(bike, bike.wheelbase) or assumed("bike.wheelbase")


# Battery


@entry("battery.energy", "Energy on the label", units.ENERGY)
def _(bike, setting):
    pack = bike.battery
    found = stated(bike, pack.energy, low=0.95, high=1.01)
    if found:
        return found
    if pack.voltage and pack.charge:
        value = pack.voltage.value * pack.charge.value
        text = f"{pack.voltage.text} × {pack.charge.text}"
        return Resolved(value, 0.95 * value, 1.01 * value, "claimed", text, "volts × amp hours")
    return MISSING


@entry("battery.voltage", "Nominal voltage", units.VOLTAGE)
def _(bike, setting):
    pack = bike.battery
    if found := stated(bike, pack.voltage):
        return found
    if pack.energy and pack.charge:
        value = pack.energy.value / pack.charge.value
        text = f"{pack.energy.text} ÷ {pack.charge.text}"
        return Resolved(value, value, value, "claimed", text, "watt hours ÷ amp hours")
    return MISSING


@entry("battery.usable_share", "Usable share of the battery", units.SHARE)
def _(bike, setting):
    span = battery.USABLE_FRACTION
    text = show.quantity(span.default, units.SHARE.metric)
    return Resolved(span.default, span.low, span.high, "assumed", text, "value from memory")


@entry("battery.resistance", "Resistance of battery and leads", units.RESISTANCE)
def _(bike, setting):
    volts = INPUTS["battery.voltage"].resolve(bike, setting)
    energy = INPUTS["battery.energy"].resolve(bike, setting)
    if math.isnan(volts.value) or math.isnan(energy.value):
        return MISSING
    series = float(battery.cells_in_series(volts.value))
    parallel = max(energy.value / 3600 / volts.value / 3.2, 1.0)  # 3.2 Ah, a usual cell
    span = battery.CELL_RESISTANCE
    value, low, high = (0.02 + part * series / parallel for part in (span.default, span.low, span.high))
    text = show.quantity(value, units.RESISTANCE.metric)
    return Resolved(value, low, high, "assumed", text, "30–60 mΩ a cell: value from memory")


@entry("battery.charger_current", "Charger current", units.CURRENT)
def _(bike, setting):
    return stated(bike, bike.battery.charger_current) or MISSING


@entry("battery.charger_efficiency", "Efficiency of the charger", units.SHARE)
def _(bike, setting):
    span = battery.CHARGER_EFFICIENCY
    text = show.quantity(span.default, units.SHARE.metric)
    return Resolved(span.default, span.low, span.high, "assumed", text, "value from memory")


# Motor


@entry("motor.assisted_speed", "Speed to which the motor assists", units.SPEED)
def _(bike, setting):
    return stated(bike, bike.motor.assisted_speed, low=0.985, high=1.015) or MISSING


@entry("motor.torque", "Torque at the motor's output", units.TORQUE)
def _(bike, setting):
    found = stated(bike, bike.motor.torque, low=0.88, high=1.05)
    return found or assumed("motor.torque_mid" if is_mid(bike) else "motor.torque_hub")


@entry("motor.current_limit", "Battery current at which the controller stops", units.CURRENT)
def _(bike, setting):
    found = stated(bike, bike.motor.current_limit, low=0.95, high=1.05)
    if found:
        return found
    volts = INPUTS["battery.voltage"].resolve(bike, setting).value
    if math.isnan(volts):
        return MISSING
    if peak := bike.motor.peak_power:
        row = ASSUMPTIONS["motor.peak_efficiency"]
        parts = [peak.value / share / volts for share in (row.value, row.high, row.low)]
        why = f"from the stated peak power, {peak.text}, at {row.value:.0%} efficiency"
    elif rated := bike.motor.rated_power:
        small = rated.value <= 350.0
        row = ASSUMPTIONS["motor.full_power_small" if small else "motor.full_power_large"]
        parts = [rated.value * factor / volts for factor in (row.value, row.low, row.high)]
        why = f"from the rated power, {rated.text}, × {row.value:g}"
    else:
        return MISSING
    text = show.quantity(parts[0], units.CURRENT.metric)
    return Resolved(*parts, "assumed", text, why)


@entry("motor.no_load", "No-load speed of the output at nominal voltage", units.CADENCE)
def _(bike, setting):
    if is_mid(bike):
        return assumed("motor.no_load_crank")
    speed = bike.motor.assisted_speed
    circumference = INPUTS["wheels.motor_circumference"].resolve(bike, setting).value
    if speed is None or math.isnan(circumference):
        return MISSING
    row = ASSUMPTIONS["motor.no_load_hub"]
    turns = speed.value / circumference
    text = f"{row.value:g} × the assisted speed"
    return Resolved(
        row.value * turns, row.low * turns, row.high * turns, "assumed", text, row.source
    )


@entry("motor.copper", "Copper loss at full torque", units.POWER)
def _(bike, setting):
    torque = INPUTS["motor.torque"].resolve(bike, setting).value
    return assumed("motor.copper_mid" if is_mid(bike) else "motor.copper_hub", factor=torque)


@entry("motor.idle", "No-load current", units.CURRENT)
def _(bike, setting):
    kind = "mid" if is_mid(bike) else bike.motor.drive
    return assumed(f"motor.idle_{kind}")


@entry("motor.reduction", "Efficiency of the reduction", units.SHARE)
def _(bike, setting):
    if is_mid(bike):
        return assumed("motor.reduction_mid")
    if bike.motor.drive == "direct":
        return fixed(1.0, units.SHARE, "a direct drive has none")
    return assumed("motor.reduction_geared")


@entry("motor.cadence_limit", "Cadence above which help fades", units.CADENCE)
def _(bike, setting):
    if not is_mid(bike):
        return fixed(math.inf, units.CADENCE, "a hub motor does not turn with the crank")
    return stated(bike, bike.motor.cadence_limit) or assumed("motor.cadence_limit")


@entry("motor.heat_resistance", "Thermal resistance, winding to air", units.THERMAL)
def _(bike, setting):
    return assumed("motor.heat_mid" if is_mid(bike) else "motor.heat_hub")


@entry("motor.heat_time", "Thermal time constant", units.MINUTES)
def _(bike, setting):
    return assumed("motor.heat_time_mid" if is_mid(bike) else "motor.heat_time_hub")


# Assist


@entry("assist.pulses", "Sensor pulses in a crank turn", units.COUNT)
def _(bike, setting):
    if bike.assist.pulses:
        return fixed(float(bike.assist.pulses), units.COUNT, "spec sheet", "claimed")
    return _pair(bike, "assist.pulses_cadence", "assist.pulses_torque")


@entry("assist.start_pulses", "Pulses before help comes", units.COUNT)
def _(bike, setting):
    if bike.assist.start_pulses:
        return fixed(float(bike.assist.start_pulses), units.COUNT, "spec sheet", "claimed")
    return _pair(bike, "assist.start_cadence", "assist.start_torque")


@entry("assist.ramp", "From no help to full help", units.SECONDS)
def _(bike, setting):
    found = stated(bike, bike.assist.ramp, low=0.8, high=1.2)
    return found or _pair(bike, "assist.ramp_cadence", "assist.ramp_torque")


@entry("assist.delay", "From the last pulse to motor off", units.SECONDS)
def _(bike, setting):
    found = stated(bike, bike.assist.delay, low=0.8, high=1.2)
    return found or _pair(bike, "assist.delay_cadence", "assist.delay_torque")


def _register_plain() -> None:
    """Assumptions that no spec file overrides are inputs as they stand."""
    plain = (
        "rider.hill_effort", "rider.flat_out", "rider.start_torque", "road.model", "road.grip", "motor.controller",
        "motor.standby", "motor.winding", "motor.heat_limit", "assist.taper", "assist.fall", "assist.filter",
        "bike.cog_height", "bike.cog_behind", "battery.age",
    )  # fmt: skip
    for id in plain:
        row = ASSUMPTIONS[id]
        INPUTS[id] = InputKind(id, row.title, row.unit, lambda bike, setting, id=id: assumed(id), id)


_register_plain()
