"""Does a value fit a schema? Yes, or perhaps not: a quick look that needs no library.

* fits     True only when the schema's full validator would find nothing
* matches  a text and a schema's pattern
* long_enough    a text and a schema's minLength

A sound file is told at once, and the library is loaded only for one that needs words. In doubt,
such as with a keyword that is not known here, the answer is False and the full validator decides.
"""

import re
from collections.abc import Callable
from datetime import date
from typing import Any

from generator.specs.quantity import QuantityError, check
from generator.specs.yaml.scalars import YEARS

Schema = dict[str, Any]

NOTES = frozenset({"title", "description", "examples", "default", "$schema", "defaultSnippets"})
"""Keywords that say nothing about whether a value fits. So do all that begin with `x-`."""


def fits(value: Any, schema: Schema) -> bool:
    """Does a value certainly fit?"""
    for keyword, rule in schema.items():
        if keyword in NOTES:
            continue
        test = TESTS.get(keyword)
        if test is None:
            if keyword.startswith("x-"):
                continue
            return False
        if not test(value, rule, schema):
            return False
    return True


def is_day(text: str) -> bool:
    """Is it `YYYY-MM-DD`, and a day of the calendar that anything here may be dated by?"""
    try:
        return len(text) == 10 and date.fromisoformat(text).year in YEARS
    except ValueError:
        return False


def _type(value: Any, names: str | list[str], schema: Schema) -> bool:
    if "x-quantity" in schema:
        return True  # says more about a value of the wrong type
    if isinstance(value, date):
        return schema.get("format") == "date"
    if value is None and "x-later" in schema:
        return False  # wants a warning
    return any(_is(value, name) for name in ([names] if isinstance(names, str) else names))


def _is(value: Any, name: str) -> bool:
    if isinstance(value, bool):
        return name == "boolean"
    kinds: dict[str, Any] = {
        "string": str, "integer": int, "number": (int, float), "array": list, "object": dict,
        "null": type(None),
    }  # fmt: skip
    return name in kinds and isinstance(value, kinds[name])


def _format(value: Any, name: str, schema: Schema) -> bool:
    return name != "date" or not isinstance(value, str) or is_day(value)


def _enum(value: Any, choices: list[Any], schema: Schema) -> bool:
    return isinstance(value, str) and value in choices


def _pattern(value: Any, pattern: str, schema: Schema) -> bool:
    return not isinstance(value, str) or matches(pattern, value)


def matches(pattern: str, text: str) -> bool:
    """Does a text match a schema's pattern? A `$` at its end means the end, as in ECMA 262, and no line end before it."""
    end = pattern.endswith("$") and not pattern.endswith("\\$")
    return re.search(pattern[:-1] + r"\Z" if end else pattern, text) is not None


def _number(holds: Callable[[Any, Any], bool]) -> Callable[[Any, Any, Schema], bool]:
    def test(value: Any, limit: Any, schema: Schema) -> bool:
        plain = isinstance(value, (int, float)) and not isinstance(value, bool)
        return not plain or holds(value, limit)

    return test


def _size(kind: type[Any], holds: Callable[[int, int], bool]) -> Callable[[Any, int, Schema], bool]:
    def test(value: Any, limit: int, schema: Schema) -> bool:
        return not isinstance(value, kind) or holds(len(value), limit)

    return test


def long_enough(text: str, least: int) -> bool:
    """Has a text so many characters? Blanks at its ends are none: a name of spaces is no name on any page."""
    return len(text.strip()) >= least


def _long_enough(value: Any, least: int, schema: Schema) -> bool:
    return not isinstance(value, str) or long_enough(value, least)


def _unique(value: Any, wanted: bool, schema: Schema) -> bool:
    if not wanted or not isinstance(value, list):
        return True
    return all(each not in value[:at] for at, each in enumerate(value))


def _items(value: Any, below: Any, schema: Schema) -> bool:
    if not isinstance(below, dict):
        return False
    return not isinstance(value, list) or all(fits(each, below) for each in value)


def _required(value: Any, keys: list[str], schema: Schema) -> bool:
    return not isinstance(value, dict) or all(key in value for key in keys)


def _properties(value: Any, keys: Schema, schema: Schema) -> bool:
    if not isinstance(value, dict):
        return True
    for key, below in keys.items():
        if key not in value:
            continue
        rule = below.get("x-quantity", {})
        kind = value.get(rule.get("by"))
        kinds = rule.get("kinds", {})
        if isinstance(kind, str) and kind in kinds and not _quantity(value[key], kinds[kind], {}):
            return False
        if not fits(value[key], below):
            return False
    return True


def _additional(value: Any, below: Any, schema: Schema) -> bool:
    if not isinstance(value, dict):
        return True
    extra = [each for key, each in value.items() if key not in schema.get("properties", {})]
    if isinstance(below, dict):
        return all(fits(each, below) for each in extra)
    return bool(below) or not extra


def _quantity(value: Any, rule: Schema, schema: Schema) -> bool:
    if "dimension" not in rule:
        return True
    try:
        check(value, rule)
    except QuantityError:
        return False
    return True


TESTS: dict[str, Callable[[Any, Any, Schema], bool]] = {
    "type": _type,
    "format": _format,
    "enum": _enum,
    "pattern": _pattern,
    "minimum": _number(lambda value, limit: value >= limit),
    "maximum": _number(lambda value, limit: value <= limit),
    "exclusiveMinimum": _number(lambda value, limit: value > limit),
    "exclusiveMaximum": _number(lambda value, limit: value < limit),
    "minLength": _long_enough,
    "maxLength": _size(str, lambda count, limit: count <= limit),
    "minItems": _size(list, lambda count, limit: count >= limit),
    "maxItems": _size(list, lambda count, limit: count <= limit),
    "minProperties": _size(dict, lambda count, limit: count >= limit),
    "maxProperties": _size(dict, lambda count, limit: count <= limit),
    "uniqueItems": _unique,
    "items": _items,
    "required": _required,
    "properties": _properties,
    "additionalProperties": _additional,
    "x-quantity": _quantity,
}
