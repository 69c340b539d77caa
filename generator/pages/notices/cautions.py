"""Short cautions, shown beside the figures they belong to; `content/pages/cautions.md` holds the full text.

They are common advice and cite no source. Battery fires are rare and severe, so battery care is stated plainly.
"""

from typing import assert_never

from generator.content.model import Rider
from generator.figures import show, units
from generator.figures.model import Figure
from generator.specs.bike import Bike
from generator.specs.units import kmh

LOCAL_LAW = (
    "Rules for electric bicycles differ from place to place and change. "
    "What your own authorities say goes before anything printed here."
)
UNALTERED = (
    "Raising a speed limit or a motor's power usually makes a bicycle a moped or motorcycle in law, "
    "with insurance and warranty at risk, and asks more of brakes and frame than they were made for."
)
HILLS = (
    "A hill that a bike climbs it must also come down: try the brakes first, "
    "keep the speed low, and let hot brakes cool."
)
FAST = (
    "At 45 km/h a bike carries more than three times the energy of motion that it has at 25 km/h. "
    "Allow far more room to stop, and more in the wet."
)
BATTERY = (
    "Charge with the maker's own charger, awake and nearby, away from the way out and from anything that "
    "burns. Stop using a battery that is hot, swollen, leaking or smells. Never open or alter one."
)
LOAD = "Keep bike, rider and bags together under the permitted total mass."
LOAD_UNKNOWN = "The permitted total mass is not stated: ask the maker before you carry a child or a heavy load."
QUICK_START = (
    "Help comes as soon as the pedals turn: keep the brakes on while you get on, "
    "and practise starting away from traffic."
)

LATE_START = (
    "Help comes a moment after the pedals begin to turn, and then all at once, and it stays a moment after they "
    "stop: keep the brakes at hand, and practise starting and stopping away from traffic."
)

FAST_FROM = kmh(40)
"""Assisted speed above which the caution for fast bikes is shown. [m/s]"""


def find_cautions(part: str, bike: Bike) -> tuple[str, ...]:
    """Return the cautions for one section of a bike's page."""
    speed = bike.motor.assisted_speed
    fast = (FAST,) if speed is not None and speed.value > FAST_FROM else ()
    return {
        "feel": (_find_start_caution(bike), *fast),
        "steep": (HILLS,),
        "cost": (BATTERY,),
        "law": (LOCAL_LAW, UNALTERED),
    }.get(part, ())


def _find_start_caution(bike: Bike) -> str:
    match bike.assist.sensor:
        case "cadence":
            return LATE_START
        case "torque" | "switchable" | None:
            return QUICK_START
        case unknown:
            assert_never(unknown)


def describe_load(mass: Figure | None, permitted: Figure | None, rider: Rider | None) -> str:
    """Say how much of the permitted total mass the default rider and load leave."""
    if permitted is None:
        return LOAD_UNKNOWN
    if mass is None or rider is None:
        return LOAD
    total = mass.value + rider.mass + rider.load
    left = permitted.value - total
    sum_of = f"This bike, {rider.name} of {_mass(rider.mass)} and {_mass(rider.load)} of bags come to {_mass(total)}"
    if left < 0.0:
        return f"{sum_of}: {_mass(-left)} over the permitted total mass of {_mass(permitted.value)}. Do not ride it so."
    return (
        f"{sum_of}, which leaves {_mass(left)} of the permitted total mass of {_mass(permitted.value)}. Somebody heavier, "
        "a child or shopping comes out of that."
    )


def _mass(value: float) -> str:
    shown = (units.MASS.metric, units.MASS.us)
    one, other = (
        show.join_unit(show.format_digits(value * scale.factor, 0), scale.unit) for scale in shown
    )
    return f"{one} ({other})"
