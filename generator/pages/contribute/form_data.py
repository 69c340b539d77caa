"""Plain data for the form that edits a spec file: the fields of the schema, the units, and the values of a file.

* build_fields         the schema as a tree of fields
* describe_units       the units that a number may have
* find_written_values  the values of a spec file, as written
"""

from collections.abc import Mapping
from typing import Any

from generator.specs.quantity import OTHER_SYSTEM
from generator.specs.units import DIMENSIONS, ORDINARY, SPELLINGS, UNITS
from generator.specs.yaml.located import Keys, LocatedMapping

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
"""Dotted keys of the fields that are always visible in the form; the rest is folded away."""

LONG = 250
"""Permitted length from which a text field has several lines. [characters]"""

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


def build_fields(schema: Schema) -> Field:
    """Return the whole schema as one field of kind `group`.

    A field has `kind`, `title`, `hint`, `like` (an example, as typed) and what its kind needs: `of` is the list of a
    group's fields, each with its `key`, or the field of the items of a list or map.
    """
    return _build_field(schema, "")


def _build_field(schema: Schema, path: str) -> Field:
    field: Field = {"kind": _find_field_kind(schema), "title": schema.get("title", "")}
    field["hint"] = schema.get("description", "")
    if "examples" in schema and not isinstance(schema["examples"][0], Mapping):
        field["like"] = _format_example(schema["examples"][0])
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
                **_build_field(below, f"{path}.{key}".lstrip(".")),
                **({"needed": True} if key in schema.get("required", ()) else {}),
            }
            for key, below in schema["properties"].items()
        ]
    elif field["kind"] in ("list", "rows"):
        field["of"] = _build_field(schema["items"], f"{path}[]")
    elif field["kind"] == "map":
        field["of"] = _build_field(schema["additionalProperties"], f"{path}{{}}")
    if path in FIRST:
        field["first"] = True
    return field


def _find_field_kind(schema: Schema) -> str:
    """Return the kind of form field for a value."""
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


def _format_example(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def describe_units() -> dict[str, Any]:
    """Return dimensions (article, usual units, and factor, divisor and offset to SI of each unit), spellings and partners."""
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
        "partners": OTHER_SYSTEM,
        "ordinary": sorted(ORDINARY),
    }


def find_written_values(marked: LocatedMapping, schema: Schema) -> Any:
    """Return the mapping of a spec file: groups as objects, mappings with free keys as pairs in their order.

    Numbers and dates are texts as written, so `1.0` stays `1.0`; booleans and empty values are unchanged.
    """
    return _find_written(marked.value, (), schema, marked)


def _find_written(value: Any, keys: Keys, schema: Schema, marked: LocatedMapping) -> Any:
    if isinstance(value, dict):
        known = schema.get("properties")
        free = schema.get("additionalProperties")
        below = {
            key: _find_written(
                inner, (*keys, key), (known or {}).get(key) or _select_schema(free), marked
            )
            for key, inner in value.items()
        }
        return [list(pair) for pair in below.items()] if known is None and free else below
    if isinstance(value, list):
        items = _select_schema(schema.get("items"))
        return [_find_written(inner, (*keys, at), items, marked) for at, inner in enumerate(value)]
    if value is None or isinstance(value, (bool, str)):
        return value
    return marked.text(keys)


def _select_schema(value: Any) -> Schema:
    return value if isinstance(value, Mapping) else {}
