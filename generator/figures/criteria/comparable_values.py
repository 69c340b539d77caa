"""Quantities compared between bikes, with the spread that is plausible and the usual mistakes.

* VALUES    each compared quantity, stated values first, then figures
* CLASSES   properties that make bikes comparable

A factor says how far outside the range of comparable bikes a value may lie before it should be checked;
common practice, no source.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import assert_never

from generator.figures import show, units
from generator.figures.inputs import is_mid_drive
from generator.figures.model import Scale
from generator.specs.bike import Bike, Stated
from generator.specs.units import kmh
from generator.specs.yaml.located import Keys

SMALL_BEAD, LARGE_BEAD = 0.455, 0.545
"""Bead seats under the first are those of 20-inch wheels and smaller; over the second, 26 and more. [m]"""
SLOW, MIDDLE = kmh(27), kmh(34)
"""Between 25 km/h, 20 mph and 28 mph. [m/s]"""


def classify_body(bike: Bike) -> str:
    if "cargo" in bike.uses:
        return "cargo bikes"
    match bike.frame:
        case "long-tail" | "front box":
            return "cargo bikes"
        case "folding":
            return "folders"
        case "mountain":
            return "mountain bikes"
        case "diamond" | "step-through":
            return "city and touring bikes"
        case unknown:
            assert_never(unknown)


def classify_drive(bike: Bike) -> str:
    return "a mid motor" if is_mid_drive(bike) else "a hub motor"


def classify_pace(bike: Bike) -> str:
    """Class by the highest assisted speed; empty if that is not stated."""
    top = bike.motor.assisted_speed
    if top is None:
        return ""
    if top.value < SLOW:
        return "help up to 25 km/h"
    return "help up to 20 mph" if top.value < MIDDLE else "help up to 28 mph or 45 km/h"


def classify_wheel(bike: Bike) -> str:
    bead = bike.wheels.etrto_bead
    if bead is None:
        return ""
    if bead < SMALL_BEAD:
        return "small wheels"
    return "large wheels" if bead > LARGE_BEAD else "24-inch wheels"


def classify_gears(bike: Bike) -> str:
    match bike.drivetrain.shifting:
        case "single speed":
            return "one gear"
        case "derailleur" | "hub gear":
            return "several gears"
        case unknown:
            assert_never(unknown)


def classify_currency(bike: Bike) -> str:
    return f"prices in {bike.price.currency}" if bike.price else ""


CLASSES: dict[str, Callable[[Bike], str]] = {
    "body": classify_body, "drive": classify_drive, "pace": classify_pace, "wheel": classify_wheel, "gears": classify_gears,
    "currency": classify_currency,
}  # fmt: skip


@dataclass(frozen=True)
class ComparedValue:
    """One compared quantity."""

    title: str
    keys: Keys
    """Its keys in a spec file; for a figure, those of the value that decides it most."""
    factor: float
    """Plausible ratio to the least and to the greatest value of comparable bikes."""
    must: tuple[str, ...]
    """Names of classes that comparable bikes share; a class not known of the bike is ignored."""
    prefer: tuple[str, ...]
    """Names of classes that they share as well if enough bikes do; dropped from the last."""
    low: str
    """Likely mistake when it is too small, in words."""
    high: str
    """Likely mistake when it is too large, in words."""
    scale: Scale
    """Unit and decimals in messages."""
    stated: Callable[[Bike], Stated | float | None] | None = None
    """Gives the value that the bike's spec file states."""
    figure: str = ""
    """Id of a figure to compare instead; `{route}` stands for the default route."""
    step: bool = True
    """Whether a missing or extra zero is a likely mistake."""


def _stated_energy(bike: Bike) -> Stated | float | None:
    battery = bike.battery
    if battery.energy is None and battery.voltage and battery.charge:
        return battery.voltage.value * battery.charge.value
    return battery.energy


VALUES = (
    ComparedValue("the mass", ("mass",), 1.3, ("body",), ("drive", "pace"),
          "Is it without the battery?", "Is it the permitted mass, or with its packing?",
          units.MASS.metric, lambda bike: bike.mass),
    ComparedValue("the permitted mass", ("permitted_mass",), 1.3, ("body",), ("drive",),
          "Is it the rider and load alone? Then add the bike's mass", "Is it in pounds?",
          units.MASS.metric, lambda bike: bike.permitted_mass),
    ComparedValue("the price", ("price", "list"), 2.5, ("body", "currency"), ("pace",),
          "Is it the price of a part, or of one day?", "Is it in another currency?",
          Scale("", 1.0, 0), lambda bike: bike.price.amount if bike.price else None),
    ComparedValue("the wheelbase", ("wheelbase",), 1.25, ("body",), ("wheel",),
          "Is it another length?", "Is it the length of the whole bike?",
          units.MILLIMETRES.metric, lambda bike: bike.wheelbase),
    ComparedValue("the rated power", ("motor", "rated_power"), 1.7, ("pace",), ("drive", "body"),
          "Is it the rider's power?", "Is it the peak power, or that of the controller?",
          units.POWER.metric, lambda bike: bike.motor.rated_power),
    ComparedValue("the peak power", ("motor", "peak_power"), 2.0, ("pace",), ("drive", "body"),
          "Is it the rated power?", "Is it electrical, volts times amperes?",
          units.POWER.metric, lambda bike: bike.motor.peak_power),
    ComparedValue("the torque", ("motor", "torque"), 1.7, ("drive",), ("body", "pace"),
          "Is it at the motor's shaft, before its reduction?",
          "Is it at the wheel for a mid motor, or at the crank for a hub motor?",
          units.TORQUE.metric, lambda bike: bike.motor.torque),
    ComparedValue("the assisted speed", ("motor", "assisted_speed"), 1.3, (), ("body",),
          "Is it the start assist?", "Is it the speed downhill, or of the throttle off the road?",
          units.SPEED.metric, lambda bike: bike.motor.assisted_speed),
    ComparedValue("the current limit", ("motor", "current_limit"), 1.8, ("pace",), ("drive",),
          "Is it the rated current, or the charger's?", "Is it the current of the motor's phases?",
          Scale("A", 1.0, 1), lambda bike: bike.motor.current_limit),
    ComparedValue("the voltage", ("battery", "voltage"), 1.6, (), ("pace",),
          "Is it that of a few cells?", "Is it the charger's?",
          Scale("V", 1.0, 0), lambda bike: bike.battery.voltage),
    ComparedValue("the charge", ("battery", "charge"), 2.5, (), ("body", "pace"),
          "Is it that of one cell?", "Is it the energy in watt-hours?",
          Scale("Ah", 1 / 3600, 1), lambda bike: bike.battery.charge),
    ComparedValue("the battery's energy", ("battery", "energy"), 2.0, (), ("body", "pace"),
          "Is it the charge in ampere-hours?", "Is it with a second battery?",
          units.ENERGY.metric, _stated_energy),
    ComparedValue("the charger's current", ("battery", "charger_current"), 2.5, (), ("body",),
          "Is it the current that it draws from the mains?", "Is it the motor's current?",
          Scale("A", 1.0, 1), lambda bike: bike.battery.charger_current),
    ComparedValue("the wheel", ("wheels", "size"), 1.12, ("body",), (),
          "Is it the other wheel's size? Rims of one inch size differ",
          "Is it the other wheel's size? Rims of one inch size differ",
          units.MILLIMETRES.metric, lambda bike: bike.wheels.etrto_bead, step=False),
    ComparedValue("the tyres' pressure", ("tyres", "pressure"), 2.0, ("body",), (),
          "Is it in bar?", "Is it the most that the tyre takes? Write what it is ridden with",
          Scale("bar", 1e-5, 1), lambda bike: bike.tyre_pressure),
    ComparedValue("the lowest gear, metres in a turn,", ("drivetrain", "cogs"), 1.4, ("body", "gears"), ("wheel",),
          "Count the teeth again, and look at the wheel's size",
          "Are all cogs listed? Count teeth, not millimetres, and look at the wheel's size",
          units.DEVELOPMENT.metric, figure="gears.lowest", step=False),
    ComparedValue("the highest gear, metres in a turn,", ("drivetrain", "chainrings"), 1.4, ("body",),
          ("pace",), "Count the teeth again, cogs in teeth and not in millimetres",
          "Count the teeth of the chainring again, and look at the wheel's size",
          units.DEVELOPMENT.metric, figure="gears.highest", step=False),
    ComparedValue("the time to charge", ("battery", "charger_current"), 3.0, (), ("body",),
          "Is the charger's current right? Many give 2 to 4 A",
          "Is the charger's current right? Many give 2 to 4 A",
          units.MINUTES.metric, figure="battery.charge_time", step=False),
    ComparedValue("the range worked out", ("battery", "energy"), 2.2, ("body",), ("pace",),
          "Look at the battery's energy and at the levels", "Look at the battery's energy and at the levels",
          units.DISTANCE.metric, figure="range.{route}", step=False),
    ComparedValue("the steepest hill worked out", ("motor", "torque"), 2.5, ("body",), ("drive",),
          "Look at the motor's torque and at the gears", "Look at the motor's torque and at the gears",
          units.GRADE.metric, figure="hills.steepest", step=False),
)  # fmt: skip


def format_value(value: float, scale: Scale) -> str:
    """The value with its unit, such as `22.4 kg`."""
    return show.format_quantity(value, scale)
