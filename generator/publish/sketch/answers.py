"""What is known of a bike before its spec file exists, and which keys the file needs.

* Answers         what is known
* select_keys     dotted keys that the sketch shows
* derive_answers  answers taken from an existing bike
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from generator.specs.bike import Bike

LEVEL_KINDS = {"speed": "speed", "current": "current", "ratio": "ratio", "share": "power"}
"""What the levels of a bike set: our word for it, and its key in a level."""
DEFAULT_LEVELS = 4
"""Number of lines for levels if no other number is known."""
US_UNITS = ("lb", "mph", "in", "mi", "psi", "ft")


@dataclass(frozen=True)
class Answers:
    """The kind of bike, and the values that are already known."""

    maker: str
    name: str
    motor: str
    """rear hub, front hub or mid."""
    sensor: str
    """cadence, torque or switchable."""
    shifting: str
    """derailleur, hub gear or single speed."""
    level_kind: str
    """A key of `LEVEL_KINDS`."""
    frame: str
    units: str
    """Units of the hints: metric or us."""
    cargo: bool = False
    throttle: bool = False
    levels: int = DEFAULT_LEVELS
    more_keys: frozenset[str] = frozenset()
    """Dotted keys beyond those that every such bike needs."""
    assumed: frozenset[str] = frozenset()
    """Keys of `given` whose value is the usual one, not a stated one."""
    given: Mapping[str, Any] = field(default_factory=dict)
    """Values as the file will hold them, by dotted key."""


COMMON_KEYS = (
    "name", "maker", "year", "status", "summary", "uses", "frame", "sizes", "position",
    "price.list", "price.date", "price.includes_tax", "mass", "permitted_mass", "wheelbase",
    "motor.place", "motor.drive", "motor.rated_power", "motor.peak_power", "motor.torque",
    "motor.assisted_speed", "motor.current_limit", "battery.voltage", "battery.charge",
    "battery.energy", "battery.chemistry", "battery.charger_current", "battery.removable",
    "assist.sensor", "assist.pulses", "assist.ramp", "assist.delay", "assist.start_assist",
    "assist.levels", "drivetrain.shifting", "drivetrain.chainrings", "drivetrain.cogs",
    "wheels.size", "tyres.tread", "tyres.pressure", "brakes.front", "brakes.rear",
    "brakes.cut_motor", "suspension", "lights", "certifications", "claims.range", "claims.hill",
    "sources.sheet.title", "sources.sheet.kind", "sources.sheet.url", "sources.sheet.seen",
)  # fmt: skip
"""Keys that every bike needs."""


def select_keys(answers: Answers) -> set[str]:
    """Dotted keys that a sketch of this bike shows."""
    keys = {*COMMON_KEYS, *answers.more_keys, *answers.given}
    if answers.motor == "mid":
        keys.add("motor.cadence_limit")
    if answers.sensor != "torque":
        keys.add("assist.start_pulses")
    if answers.throttle:
        keys.add("assist.throttle")
    if answers.shifting == "hub gear":
        keys.add("drivetrain.hub_ratios")
    if answers.shifting != "derailleur":
        keys.add("drivetrain.drive")  # a belt is possible
    if answers.frame == "front box":
        keys |= {"wheels.front", "cargo.front box"}
    if answers.cargo:
        keys.add("cargo.rear rack")
    return keys


def derive_answers(bike: Bike, keys: Mapping[str, Any]) -> dict[str, Any]:
    """Answers that the kind of an existing bike gives, without its values. `keys` is the mapping in its spec file."""
    first = bike.assist.levels[0] if bike.assist.levels else None
    kinds = [kind for kind, key in LEVEL_KINDS.items() if first and getattr(first, key)]
    shape: dict[str, Any] = {
        "motor": bike.motor.place,
        "drive": bike.motor.drive,
        "sensor": bike.assist.sensor,
        "shifting": bike.drivetrain.shifting,
        "level_kind": kinds[0] if kinds else None,
        "levels": len(bike.assist.levels) or None,
        "frame": bike.frame,
        "uses": bike.uses,
        "throttle": bike.assist.throttle is not None or None,
        "cargo": bool(bike.cargo),
        "units": _guess_units(bike),
        "more_keys": _list_dotted_keys(keys),
    }
    return {key: value for key, value in shape.items() if value is not None}


def _guess_units(bike: Bike) -> str | None:
    """Units in which mass and length are stated: metric, us, or None if neither is stated."""
    words = [each.text for each in (bike.mass, bike.permitted_mass, bike.wheelbase) if each]
    if not words:
        return None
    return "us" if any(word.split()[-1] in US_UNITS for word in words) else "metric"


RECORD_KEYS = (
    "tests", "rides", "ridden", "revisions", "corrections", "stated_by", "sources", "note",
    "certifications",
)  # fmt: skip
"""Top keys that say something of one bike rather than of its kind."""


def _list_dotted_keys(sheet: Mapping[str, Any]) -> frozenset[str]:
    """Dotted keys of a spec file, at most two levels deep."""
    found = set()
    for key, value in sheet.items():
        if key in RECORD_KEYS:
            continue
        found |= {f"{key}.{below}" for below in value} if isinstance(value, dict) else {key}
    return frozenset(found)
