"""What is compared between bikes, how far apart it may lie, and what the usual slip is.

* VALUES     each compared quantity, stated values first, then figures
* CLASSES    what makes bikes comparable

The factors say how far outside the range of comparable bikes a value may lie before somebody should
look again; common practice, no source.
"""

from collections.abc import Callable
from dataclasses import dataclass

from generator.figures import show, units
from generator.figures.model import Scale
from generator.specs.bike import CARGO_FRAMES, Bike, Stated
from generator.specs.yaml.located import Keys

SMALL_BEAD, LARGE_BEAD = 0.455, 0.545
"""Bead seats under the first are those of 20-inch wheels and smaller; over the second, 26 and more. [m]"""
SLOW, MIDDLE = 27 / 3.6, 34 / 3.6
"""Between 25 km/h, 20 mph and 28 mph. [m/s]"""


def body(bike: Bike) -> str:
    if bike.frame in CARGO_FRAMES or "cargo" in bike.uses:
        return "cargo bikes"
    if bike.frame == "folding":
        return "folders"
    return "mountain bikes" if bike.frame == "mountain" else "city and touring bikes"


def drive(bike: Bike) -> str:
    return "a mid motor" if bike.motor.place == "mid" else "a hub motor"


def pace(bike: Bike) -> str:
    """Whether the law and the road make it a slow or a fast one; empty when nobody says."""
    top = bike.motor.assisted_speed
    if top is None:
        return ""
    if top.value < SLOW:
        return "help up to 25 km/h"
    return "help up to 20 mph" if top.value < MIDDLE else "help up to 28 mph or 45 km/h"


def wheel(bike: Bike) -> str:
    bead = bike.wheels.etrto_bead
    if bead is None:
        return ""
    if bead < SMALL_BEAD:
        return "small wheels"
    return "large wheels" if bead > LARGE_BEAD else "24-inch wheels"


def gears(bike: Bike) -> str:
    return "one gear" if bike.drivetrain.shifting == "single speed" else "several gears"


def currency(bike: Bike) -> str:
    return f"prices in {bike.price.currency}" if bike.price else ""


CLASSES: dict[str, Callable[[Bike], str]] = {
    "body": body, "drive": drive, "pace": pace, "wheel": wheel, "gears": gears,
    "currency": currency,
}  # fmt: skip


@dataclass(frozen=True)
class Value:
    """One compared quantity."""

    title: str
    keys: Keys
    """Where it stands in a spec file, or what it hangs on most."""
    factor: float
    """How far below the least or above the greatest of comparable bikes it may lie."""
    must: tuple[str, ...]
    """Classes that comparable bikes share; a class that a bike does not tell is passed over."""
    prefer: tuple[str, ...]
    """Classes that they share too if enough bikes do; given up from the last."""
    low: str
    """What it may be when it is too small."""
    high: str
    """What it may be when it is too large."""
    scale: Scale
    """How it is shown."""
    stated: Callable[[Bike], Stated | float | None] | None = None
    """From a bike to the value that its spec states."""
    figure: str = ""
    """Or a figure's id; `{route}` stands for the usual route."""
    step: bool = True
    """May a lost or doubled zero be the reason?"""


def _energy(bike: Bike) -> Stated | float | None:
    battery = bike.battery
    if battery.energy is None and battery.voltage and battery.charge:
        return battery.voltage.value * battery.charge.value
    return battery.energy


VALUES = (
    Value("the mass", ("mass",), 1.3, ("body",), ("drive", "pace"),
          "Is it without the battery?", "Is it the permitted mass, or with its packing?",
          units.MASS.metric, lambda bike: bike.mass),
    Value("the permitted mass", ("permitted_mass",), 1.3, ("body",), ("drive",),
          "Is it the rider and load alone? Then add the bike's mass", "Is it in pounds?",
          units.MASS.metric, lambda bike: bike.permitted_mass),
    Value("the price", ("price", "list"), 2.5, ("body", "currency"), ("pace",),
          "Is it the price of a part, or of one day?", "Is it in another currency?",
          Scale("", 1.0, 0), lambda bike: bike.price.amount if bike.price else None),
    Value("the wheelbase", ("wheelbase",), 1.25, ("body",), ("wheel",),
          "Is it another length?", "Is it the length of the whole bike?",
          units.MILLIMETRES.metric, lambda bike: bike.wheelbase),
    Value("the rated power", ("motor", "rated_power"), 1.7, ("pace",), ("drive", "body"),
          "Is it the rider's power?", "Is it the peak power, or that of the controller?",
          units.POWER.metric, lambda bike: bike.motor.rated_power),
    Value("the peak power", ("motor", "peak_power"), 2.0, ("pace",), ("drive", "body"),
          "Is it the rated power?", "Is it electrical, volts times amperes?",
          units.POWER.metric, lambda bike: bike.motor.peak_power),
    Value("the torque", ("motor", "torque"), 1.7, ("drive",), ("body", "pace"),
          "Is it at the motor's shaft, before its reduction?",
          "Is it at the wheel for a mid motor, or at the crank for a hub motor?",
          units.TORQUE.metric, lambda bike: bike.motor.torque),
    Value("the assisted speed", ("motor", "assisted_speed"), 1.3, (), ("body",),
          "Is it the start assist?", "Is it the speed downhill, or of the throttle off the road?",
          units.SPEED.metric, lambda bike: bike.motor.assisted_speed),
    Value("the current limit", ("motor", "current_limit"), 1.8, ("pace",), ("drive",),
          "Is it the rated current, or the charger's?", "Is it the current of the motor's phases?",
          Scale("A", 1.0, 1), lambda bike: bike.motor.current_limit),
    Value("the voltage", ("battery", "voltage"), 1.6, (), ("pace",),
          "Is it that of a few cells?", "Is it the charger's?",
          Scale("V", 1.0, 0), lambda bike: bike.battery.voltage),
    Value("the charge", ("battery", "charge"), 2.5, (), ("body", "pace"),
          "Is it that of one cell?", "Is it the energy in watt-hours?",
          Scale("Ah", 1 / 3600, 1), lambda bike: bike.battery.charge),
    Value("the battery's energy", ("battery", "energy"), 2.0, (), ("body", "pace"),
          "Is it the charge in ampere-hours?", "Is it with a second battery?",
          units.ENERGY.metric, _energy),
    Value("the charger's current", ("battery", "charger_current"), 2.5, (), ("body",),
          "Is it the current that it draws from the mains?", "Is it the motor's current?",
          Scale("A", 1.0, 1), lambda bike: bike.battery.charger_current),
    Value("the wheel", ("wheels", "size"), 1.12, ("body",), (),
          "Is it the other wheel's size? Rims of one inch size differ",
          "Is it the other wheel's size? Rims of one inch size differ",
          units.MILLIMETRES.metric, lambda bike: bike.wheels.etrto_bead, step=False),
    Value("the tyres' pressure", ("tyres", "pressure"), 2.0, ("body",), (),
          "Is it in bar?", "Is it the most that the tyre takes? Write what it is ridden with",
          Scale("bar", 1e-5, 1), lambda bike: bike.tyre_pressure),
    Value("the lowest gear, metres in a turn,", ("drivetrain", "cogs"), 1.4, ("body", "gears"), ("wheel",),
          "Count the teeth again, and look at the wheel's size",
          "Are all cogs listed? Count teeth, not millimetres, and look at the wheel's size",
          units.DEVELOPMENT.metric, figure="gears.lowest", step=False),
    Value("the highest gear, metres in a turn,", ("drivetrain", "chainrings"), 1.4, ("body",),
          ("pace",), "Count the teeth again, cogs in teeth and not in millimetres",
          "Count the teeth of the chainring again, and look at the wheel's size",
          units.DEVELOPMENT.metric, figure="gears.highest", step=False),
    Value("the time to charge", ("battery", "charger_current"), 3.0, (), ("body",),
          "Is the charger's current right? Many give 2 to 4 A",
          "Is the charger's current right? Many give 2 to 4 A",
          units.MINUTES.metric, figure="battery.charge_time", step=False),
    Value("the range worked out", ("battery", "energy"), 2.2, ("body",), ("pace",),
          "Look at the battery's energy and at the levels", "Look at the battery's energy and at the levels",
          units.DISTANCE.metric, figure="range.{route}", step=False),
    Value("the steepest hill worked out", ("motor", "torque"), 2.5, ("body",), ("drive",),
          "Look at the motor's torque and at the gears", "Look at the motor's torque and at the gears",
          units.GRADE.metric, figure="hills.steepest", step=False),
)  # fmt: skip


def shown(value: float, scale: Scale) -> str:
    """Such as `22.4 kg`."""
    return show.quantity(value, scale)
