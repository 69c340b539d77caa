"""What the form for a bike's file works with, as plain data: the schema's fields, the units, and a bike as its file has it.

* fields     the schema as a tree of fields
* units      what may stand behind a number
* as_written the values of a spec file, in its own words
"""

from collections.abc import Mapping
from typing import Any

from generator.specs.quantity import PARTNERS
from generator.specs.units import DIMENSIONS, ORDINARY, SPELLINGS, UNITS
from generator.specs.yaml.located import Keys, Marked

Schema = Mapping[str, Any]
Field = dict[str, Any]

FIRST = frozenset({
    "name", "maker", "year", "status", "summary", "uses", "frame", "mass", "permitted_mass",
    "price.list", "price.date",
    "motor.place", "motor.drive", "motor.rated_power", "motor.torque", "motor.assisted_speed",
    "battery.voltage", "battery.charge", "battery.energy",
    "assist.sensor", "assist.levels",
    "drivetrain.shifting", "drivetrain.chainrings", "drivetrain.cogs", "drivetrain.hub_ratios",
    "wheels.size", "wheels.rollout",
    "sources",
})  # fmt: skip
"""Dotted keys that stand open in the form; the rest is folded away."""

LONG = 250
"""Texts that may be longer get several lines. [characters]"""

_COPIED = {
    "maxLength": "most",
    "maxItems": "most",
    "maxProperties": "most",
    "minimum": "low",
    "maximum": "high",
    "pattern": "pattern",
    "x-hint": "mend",
    "enum": "options",
    "uniqueItems": "once",
}


def fields(schema: Schema) -> Field:
    """The whole schema as one field of kind `group`.

    A field has `kind`, `title`, `hint` and `like` (an example, as typed), and what its kind needs: `of` is a group's
    list of fields, each with its `key`, or the one field of a list's or map's items.
    """
    return _field(schema, "")


def _field(schema: Schema, path: str) -> Field:
    field: Field = {"kind": _kind(schema), "title": schema.get("title", "")}
    field["hint"] = schema.get("description", "")
    if "examples" in schema and not isinstance(schema["examples"][0], Mapping):
        field["like"] = _typed(schema["examples"][0])
    field.update({to: schema[name] for name, to in _COPIED.items() if name in schema})
    if quantity := schema.get("x-quantity"):
        field["quantity"] = quantity
    if "number" in schema.get("type", ()) and field["kind"] == "quantity":
        field["bare"] = True
    if unless := schema.get("x-needed-unless"):
        field["unless"] = unless
    if schema.get("x-later"):
        field["later"] = True
    if field["kind"] == "group":
        field["of"] = [
            {
                "key": key,
                **_field(below, f"{path}.{key}".lstrip(".")),
                **({"needed": True} if key in schema.get("required", ()) else {}),
            }
            for key, below in schema["properties"].items()
        ]
    elif field["kind"] in ("list", "rows"):
        field["of"] = _field(schema["items"], f"{path}[]")
    elif field["kind"] == "map":
        field["of"] = _field(schema["additionalProperties"], f"{path}{{}}")
    if path in FIRST:
        field["first"] = True
    return field


def _kind(schema: Schema) -> str:
    """How a value is asked for."""
    types = schema.get("type", "string")
    names = {types} if isinstance(types, str) else set(types) - {"null"}
    if "x-quantity" in schema:
        return "quantity"
    if "enum" in schema:
        return "enum"
    if "object" in names:
        return "group" if "properties" in schema else "map"
    if "array" in names:
        return "rows" if "properties" in schema["items"] else "list"
    if len(names) > 1:
        return "any"
    if schema.get("format") == "date":
        return "date"
    name = names.pop()
    long = name == "string" and schema.get("maxLength", 0) >= LONG and "pattern" not in schema
    return "long" if long else name


def _typed(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def units() -> dict[str, Any]:
    """Dimension to its name's article, usual units, and each unit's factor, divisor and offset to SI."""
    return {
        "dimensions": {
            each.name: {
                "article": each.article,
                "usual": each.usual,
                "units": {
                    unit.symbol: [unit.factor, unit.divisor, unit.offset]
                    for unit in UNITS
                    if unit.dimension == each.name
                },
            }
            for each in DIMENSIONS.values()
        },
        "spellings": SPELLINGS,
        "partners": PARTNERS,
        "ordinary": sorted(ORDINARY),
    }


def as_written(marked: Marked, schema: Schema) -> Any:
    """The mapping of a spec file: groups as objects, what has free keys as pairs in their order.

    Numbers and days are texts as written, so that `1.0` stays `1.0`; truths and empty values are themselves.
    """
    return _written(marked.value, (), schema, marked)


def _written(value: Any, keys: Keys, schema: Schema, marked: Marked) -> Any:
    if isinstance(value, dict):
        known = schema.get("properties")
        free = schema.get("additionalProperties")
        below = {
            key: _written(inner, (*keys, key), (known or {}).get(key) or _schema_of(free), marked)
            for key, inner in value.items()
        }
        return [list(pair) for pair in below.items()] if known is None and free else below
    if isinstance(value, list):
        items = _schema_of(schema.get("items"))
        return [_written(inner, (*keys, at), items, marked) for at, inner in enumerate(value)]
    if value is None or isinstance(value, (bool, str)):
        return value
    return marked.text(keys)


def _schema_of(value: Any) -> Schema:
    return value if isinstance(value, Mapping) else {}
