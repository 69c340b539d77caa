"""Facts of the spec file that criteria can test besides figures, each as plain words.

* FIELDS         every such fact by its name in a criterion
* list_choices   the words that a fact may take, from the schema of spec files
* field_texts    all facts of one bike, one text each, as a record of a release keeps them
* SPEC_KEYS      where a spec file states a figure or a field
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from generator.specs import program
from generator.specs.bike import Bike
from generator.specs.read import find_bike_schema


@dataclass(frozen=True)
class SpecField:
    """One fact of the spec file."""

    title: str
    """Its name for readers, such as `Sensor`."""
    get: Callable[[Bike], tuple[str, ...] | None]
    """Gives its words; None if it is not stated. Only `use` and `brakes` have more than one."""
    path: tuple[str, ...] = ()
    """Keys in the schema that lead to its possible words; empty for free text and numbers."""
    several: bool = False
    free: bool = False
    """Whether any text is allowed, such as the name of a maker."""


def _yes_no(value: bool | None) -> tuple[str, ...] | None:
    return None if value is None else ("yes" if value else "no",)


def _one_word(value: str | None) -> tuple[str, ...] | None:
    return None if value is None else (value,)


def _has_throttle(bike: Bike) -> bool | None:
    """Whether it has a throttle; None for a spec file that says nothing about the assist."""
    told = bike.assist.throttle or bike.assist.levels or bike.assist.sensor
    return bike.assist.throttle is not None if told else None


FIELDS: Mapping[str, SpecField] = {
    "use": SpecField("Use", lambda bike: bike.uses, ("uses", "[]"), several=True),
    "sensor": SpecField("Sensor", lambda bike: _one_word(bike.assist.sensor), ("assist", "sensor")),
    "motor": SpecField("Motor", lambda bike: _one_word(bike.motor.place), ("motor", "place")),
    "motor_drive": SpecField(
        "Motor's inside", lambda bike: _one_word(bike.motor.drive), ("motor", "drive")
    ),
    "status": SpecField("Status", lambda bike: _one_word(bike.status), ("status",)),
    "maker": SpecField("Maker", lambda bike: _one_word(bike.maker), free=True),
    "year": SpecField("Model year", lambda bike: _one_word(str(bike.year))),
    "frame": SpecField("Frame", lambda bike: _one_word(bike.frame), ("frame",)),
    "position": SpecField("Position", lambda bike: _one_word(bike.position), ("position",)),
    "ridden": SpecField(
        "Known to us", lambda bike: _one_word(bike.ridden.state), ("ridden", "state")
    ),
    "drive": SpecField(
        "Drive", lambda bike: _one_word(bike.drivetrain.drive), ("drivetrain", "drive")
    ),
    "shifting": SpecField(
        "Gears", lambda bike: _one_word(bike.drivetrain.shifting), ("drivetrain", "shifting")
    ),
    "chemistry": SpecField(
        "Battery chemistry",
        lambda bike: _one_word(bike.battery.chemistry),
        ("battery", "chemistry"),
    ),
    "removable": SpecField("Removable battery", lambda bike: _yes_no(bike.battery.removable)),
    "throttle": SpecField("Throttle", lambda bike: _yes_no(_has_throttle(bike))),
    "brakes": SpecField(
        "Brakes",
        lambda bike: tuple(dict.fromkeys(brake.kind for brake in bike.brakes)) or None,
        ("brakes", "front", "kind"),
        several=True,
    ),
}
"""Fields by name, in the order in which pages list them."""

SPEC_KEY_FIELDS = {
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
"""Field by a key of spec files that people write instead."""


@cache
def list_choices(name: str) -> tuple[str, ...]:
    """The words that a field may take; empty for free text and years."""
    field = FIELDS[name]
    if not field.path:
        return () if field.free or name == "year" else ("yes", "no")
    schema, _ = find_bike_schema(program.ROOT)
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
"""Keys in a spec file by id of a stated figure or name of a field."""
