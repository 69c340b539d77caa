"""What is assumed where a spec file states nothing, each value with its span and reason. A page lists them.

`low` and `high` are the 10th and 90th percentile. Values in SI. "Common practice" has no published source.
"""

from dataclasses import dataclass

from generator.figures import units
from generator.figures.model import Unit
from generator.specs.units import kmh


@dataclass(frozen=True)
class Assumption:
    """An assumed value with its span. SI."""

    id: str
    title: str
    unit: Unit
    value: float
    low: float
    high: float
    source: str


MEMORY = "value from memory; common practice"
LOGGED = (
    "value from memory, set so that a 250 W drive gives 0.78–0.84 of its battery power, as logged rides do: "
    "common practice"
)
OURS = "our modelling choice"
PRACTICE = "common practice, no source"

_TABLE = (
    # Rider and road
    ("rider.effort", "Rider's effort on the day, of the rider's usual", units.RATIO, 1.0, 0.85, 1.15, OURS),
    ("rider.hill_effort", "Effort on a short steep hill, of the usual", units.RATIO, 1.5, 1.2, 2.0, OURS),
    ("rider.flat_out", "Cadence at which the legs add nothing, above the upper comfortable one", units.CADENCE,
     20 / 60, 15 / 60, 30 / 60, "spinning out at 110–120 rpm: common practice, no source"),
    ("rider.start_torque", "Crank torque of a rider setting off, per kilogram", units.TORQUE, 0.60, 0.45, 0.80,
     "weight partly on one pedal of a 170 mm crank; " + OURS),
    ("road.model", "Real over modelled resistance", units.RATIO, 1.0, 0.94, 1.06,
     "Millet, Tronche & Grappe 2014: climbing power off by −10.4 to +8.5 % (95 %)"),
    ("road.wind_span", "Wind about the route's own", units.WIND, 0.0, -1.0, 1.0, OURS),
    ("road.temperature_span", "Temperature about the route's own", units.TEMPERATURE, 0.0, -6.0, 6.0, OURS),
    ("road.humidity", "Relative humidity", units.SHARE, 0.7, 0.7, 0.7, OURS),
    ("road.braking", "Braking before a stop", units.ACCELERATION, 1.5, 1.5, 1.5, PRACTICE),
    ("road.top_speed", "Speed not passed downhill", units.SPEED, kmh(45), kmh(45), kmh(45), OURS),
    ("road.grip", "Friction of tyre on dry road", units.RATIO, 0.8, 0.6, 0.9, MEMORY),
    ("wheels.inertia", "Rotational inertia of both wheels", units.RATIO, 0.14, 0.14, 0.14, "Martin et al. 1998"),
    # Motor
    ("motor.no_load_hub", "No-load speed over assisted speed, hub motor", units.RATIO, 1.20, 1.15, 1.25, MEMORY),
    ("motor.no_load_crank", "No-load speed of a mid drive's output, at nominal voltage", units.CADENCE,
     130 / 60, 120 / 60, 145 / 60, MEMORY),
    ("motor.copper_hub", "Copper loss at full torque per newton metre, hub motor", units.POWER, 3.5, 2.4, 5.0, LOGGED),
    ("motor.copper_mid", "Copper loss at full torque per newton metre, mid drive", units.POWER, 1.6, 1.1, 2.4, LOGGED),
    ("motor.idle_geared", "No-load current, geared hub", units.CURRENT, 0.50, 0.35, 0.8, LOGGED),
    ("motor.idle_direct", "No-load current, direct drive", units.CURRENT, 1.4, 0.8, 2.0, MEMORY),
    ("motor.idle_mid", "No-load current, mid drive", units.CURRENT, 0.45, 0.3, 0.7, LOGGED),
    ("motor.reduction_geared", "Efficiency of the reduction, geared hub", units.SHARE, 0.97, 0.95, 0.98, LOGGED),
    ("motor.reduction_mid", "Efficiency of the reduction, mid drive", units.SHARE, 0.95, 0.92, 0.97, LOGGED),
    ("motor.controller", "Efficiency of the controller", units.SHARE, 0.97, 0.95, 0.985, LOGGED),
    ("motor.standby", "Display, lights and controller", units.POWER, 4.0, 2.0, 7.0, PRACTICE),
    ("motor.winding", "Temperature of the winding on a ride", units.TEMPERATURE, 60.0, 40.0, 80.0, OURS),
    ("motor.torque_hub", "Torque of a hub motor whose sheet is silent", units.TORQUE, 40.0, 32.0, 50.0, PRACTICE),
    ("motor.torque_mid", "Torque of a mid drive whose sheet is silent", units.TORQUE, 60.0, 45.0, 80.0, PRACTICE),
    ("motor.full_power_small", "Full over rated power, rated to 350 W", units.RATIO, 2.1, 1.7, 2.4, PRACTICE),
    ("motor.full_power_large", "Full over rated power, rated above 350 W", units.RATIO, 1.6, 1.3, 2.0, PRACTICE),
    ("motor.peak_efficiency", "Efficiency at which a stated peak power is read as battery power", units.SHARE,
     0.80, 0.75, 0.85, MEMORY),
    ("motor.cadence_limit", "Cadence above which a mid drive's help fades", units.CADENCE, 110 / 60, 95 / 60, 120 / 60,
     PRACTICE),
    ("motor.heat_hub", "Thermal resistance, winding to air, hub motor", units.THERMAL, 0.8, 0.5, 1.2, MEMORY),
    ("motor.heat_mid", "Thermal resistance, winding to air, mid drive", units.THERMAL, 0.9, 0.6, 1.3, MEMORY),
    ("motor.heat_time_hub", "Thermal time constant, hub motor", units.MINUTES, 1500.0, 900.0, 2400.0, MEMORY),
    ("motor.heat_time_mid", "Thermal time constant, mid drive", units.MINUTES, 1200.0, 720.0, 1800.0, OURS),
    ("motor.heat_limit", "Winding temperature at which power is given up", units.TEMPERATURE, 110.0, 95.0, 130.0,
     PRACTICE),
    # Assist
    ("assist.taper", "Width of the fade before a speed limit", units.SPEED, kmh(1.5), kmh(1.0), kmh(2.0),
     "1–2 km/h: common practice, no source"),
    ("assist.full_ratio", "Motor over rider power at full share, torque law whose sheet gives no ratio", units.RATIO,
     3.0, 2.4, 3.6, PRACTICE),
    ("assist.pulses_cadence", "Pulses in a crank turn, cadence sensor", units.COUNT, 12.0, 8.0, 12.0, PRACTICE),
    ("assist.pulses_torque", "Pulses in a crank turn, torque sensor", units.COUNT, 32.0, 24.0, 36.0, PRACTICE),
    ("assist.start_cadence", "Pulses before help, cadence sensor", units.COUNT, 4.0, 3.0, 6.0, PRACTICE),
    ("assist.start_torque", "Pulses before help, torque sensor", units.COUNT, 2.0, 1.0, 3.0, PRACTICE),
    ("assist.ramp_cadence", "From no help to full help, cadence sensor", units.SECONDS, 1.2, 0.8, 2.0, PRACTICE),
    ("assist.ramp_torque", "From no help to full help, torque sensor", units.SECONDS, 0.4, 0.2, 0.7, PRACTICE),
    ("assist.delay_cadence", "From the last pulse to motor off, cadence sensor", units.SECONDS, 0.4, 0.25, 0.7, PRACTICE),
    ("assist.delay_torque", "From the last pulse to motor off, torque sensor", units.SECONDS, 0.2, 0.1, 0.35, PRACTICE),
    ("assist.fall", "From full help to none, once off", units.SECONDS, 0.15, 0.1, 0.3, PRACTICE),
    ("assist.filter", "Time constant of the torque signal", units.SECONDS, 0.25, 0.15, 0.4, PRACTICE),
    # Bike
    ("bike.mass_city", "Mass of a city or touring bike whose sheet is silent", units.MASS, 25.0, 21.0, 29.0, PRACTICE),
    ("bike.mass_folding", "Mass of a folder whose sheet is silent", units.MASS, 20.0, 17.0, 24.0, PRACTICE),
    ("bike.mass_cargo", "Mass of a cargo bike whose sheet is silent", units.MASS, 38.0, 30.0, 50.0, PRACTICE),
    ("bike.wheelbase", "Wheelbase whose sheet is silent", units.MILLIMETRES, 1.10, 1.05, 1.16, PRACTICE),
    ("bike.cog_height", "Height of the common centre of gravity", units.MILLIMETRES, 1.05, 0.95, 1.15, MEMORY),
    ("bike.cog_behind", "Centre of gravity ahead of the rear axle, of the wheelbase", units.SHARE, 0.42, 0.36, 0.48,
     MEMORY),
    ("battery.age", "Capacity left by age", units.SHARE, 1.0, 1.0, 1.0, "a new battery"),
)  # fmt: skip

ASSUMPTIONS: dict[str, Assumption] = {row[0]: Assumption(*row) for row in _TABLE}
