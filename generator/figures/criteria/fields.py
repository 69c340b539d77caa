"""What criteria can ask of a bike beside its figures: facts of the spec file, each as plain words.

* FIELDS         every such fact by its name in a criterion
* choices        the words that a fact may take, from the schema of spec files
* field_texts    all facts of one bike, as one text each: what a record of a release keeps
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from generator.specs import program
from generator.specs.bike import Bike
from generator.specs.read import own_schema


@dataclass(frozen=True)
class Field:
    """One fact of the spec file."""

    title: str
    """Such as `Sensor`."""
    get: Callable[[Bike], tuple[str, ...] | None]
    """Its words; None where nobody states it. Only `use` and `brakes` have more than one."""
    path: tuple[str, ...] = ()
    """Where the schema lists the words that it may take; empty for free text and numbers."""
    several: bool = False
    free: bool = False
    """Any text goes, such as the name of a maker."""


def _yes_no(value: bool | None) -> tuple[str, ...] | None:
    return None if value is None else ("yes" if value else "no",)


def _one(value: str | None) -> tuple[str, ...] | None:
    return None if value is None else (value,)


def _throttle(bike: Bike) -> bool | None:
    """A sheet that tells nothing of the assist tells nothing of a throttle."""
    told = bike.assist.throttle or bike.assist.levels or bike.assist.sensor
    return bike.assist.throttle is not None if told else None


FIELDS: Mapping[str, Field] = {
    "use": Field("Use", lambda bike: bike.uses, ("uses", "[]"), several=True),
    "sensor": Field("Sensor", lambda bike: _one(bike.assist.sensor), ("assist", "sensor")),
    "motor": Field("Motor", lambda bike: _one(bike.motor.place), ("motor", "place")),
    "motor_drive": Field("Motor's inside", lambda bike: _one(bike.motor.drive), ("motor", "drive")),
    "status": Field("Status", lambda bike: _one(bike.status), ("status",)),
    "maker": Field("Maker", lambda bike: _one(bike.maker), free=True),
    "year": Field("Model year", lambda bike: _one(str(bike.year))),
    "frame": Field("Frame", lambda bike: _one(bike.frame), ("frame",)),
    "position": Field("Position", lambda bike: _one(bike.position), ("position",)),
    "ridden": Field("Known to us", lambda bike: _one(bike.ridden.state), ("ridden", "state")),
    "drive": Field("Drive", lambda bike: _one(bike.drivetrain.drive), ("drivetrain", "drive")),
    "shifting": Field(
        "Gears", lambda bike: _one(bike.drivetrain.shifting), ("drivetrain", "shifting")
    ),
    "chemistry": Field(
        "Battery chemistry", lambda bike: _one(bike.battery.chemistry), ("battery", "chemistry")
    ),
    "removable": Field("Removable battery", lambda bike: _yes_no(bike.battery.removable)),
    "throttle": Field("Throttle", lambda bike: _yes_no(_throttle(bike))),
    "brakes": Field(
        "Brakes",
        lambda bike: tuple(dict.fromkeys(brake.kind for brake in bike.brakes)) or None,
        ("brakes", "front", "kind"),
        several=True,
    ),
}
"""In the order in which pages list them."""

ALSO = {
    "uses": "use",
    "motor.place": "motor",
    "motor.drive": "motor_drive",
    "assist.sensor": "sensor",
    "ridden.state": "ridden",
    "drivetrain.drive": "drive",
    "drivetrain.shifting": "shifting",
    "battery.chemistry": "chemistry",
    "battery.removable": "removable",
    "assist.throttle": "throttle",
}
"""Keys of spec files that people write for a field."""


@cache
def choices(name: str) -> tuple[str, ...]:
    """The words that a field may take; empty for free text and years."""
    field = FIELDS[name]
    if not field.path:
        return () if field.free or name == "year" else ("yes", "no")
    schema, _ = own_schema(program.ROOT)
    below: Any = schema or {}
    for key in field.path:
        below = below.get("items", {}) if key == "[]" else below.get("properties", {}).get(key, {})
    return tuple(map(str, below.get("enum", ())))


def field_texts(bike: Bike) -> dict[str, str]:
    """Every field that is known, such as `{"use": "city, commuting", "sensor": "torque"}`."""
    found = {name: field.get(bike) for name, field in FIELDS.items()}
    return {name: ", ".join(words) for name, words in found.items() if words is not None}


SPEC_KEYS: Mapping[str, tuple[str, ...]] = {
    "spec.mass": ("mass",),
    "spec.permitted_mass": ("permitted_mass",),
    "spec.assisted_speed": ("motor", "assisted_speed"),
    "spec.rated_power": ("motor", "rated_power"),
    "spec.peak_power": ("motor", "peak_power"),
    "spec.torque": ("motor", "torque"),
    "spec.wheelbase": ("wheelbase",),
    "spec.price": ("price", "list"),
    "use": ("uses",),
    "brakes": ("brakes",),
    "maker": ("maker",),
    "year": ("year",),
    "removable": ("battery", "removable"),
    "throttle": ("assist", "throttle"),
    **{name: field.path for name, field in FIELDS.items() if field.path and not field.several},
}
"""Where a spec file states what criteria read, for figures that are stated and for fields."""
