"""Spec files that nobody wrote: drawn at random from the schema of spec files, so that whatever it allows may come.

* specs       a strategy of sound spec files as plain data
* written     such data as YAML, with the line of each value
* properties  every property of the schema, or those that one spec file has

A walker of our own and not hypothesis-jsonschema, which knows nothing of quantities with their units, so that most of what it
drew would have to be thrown away. What no schema says, such as that levels rise, is mended after drawing (`agreeing`).
"""

import json
import re
from collections.abc import Iterator
from datetime import date
from typing import Any

from hypothesis import strategies as st

from generator.specs.quantity import QuantityError, check_quantity
from generator.specs.units import UNITS
from generator.specs.yaml.events import UNPRINTABLE
from tests.hostile.agreeing import agreeing
from tests.project import ROOT

Schema = dict[str, Any]
Path_ = tuple[str | int, ...]
SCHEMA: Schema = json.loads((ROOT / "bikes/bike.schema.json").read_text("utf-8"))
MOST_ITEMS = 5
"""Of a list or of a mapping with keys of any name; files of the schema's own greatest size are tried elsewhere."""

_SIGNS = st.characters(exclude_categories=("Cs", "Cc", "Co", "Cn")).filter(
    lambda sign: not UNPRINTABLE.match(sign)
)
_WORDS = st.sampled_from("ABCdefghi  -.,'\"éß:#&*!%@`{}[]<>|=+/\\ñ漢🚲٣½")


def text(least: int, most: int) -> st.SearchStrategy[str]:
    """Any text that a file may hold, mostly of signs that people type."""
    few = min(most, max(least, 12))
    plain = st.text(_WORDS, min_size=least, max_size=few)
    return st.one_of(
        plain, plain, st.text(_SIGNS, min_size=least, max_size=few), st.just("W" * most)
    ).filter(str.strip)


@st.composite
def quantity(draw: st.DrawFn, rule: dict[str, str], bare: bool) -> str | float:
    """Words within a rule's span, in any unit of its dimension; a bare number where the schema takes one."""
    units = [unit for unit in UNITS if unit.dimension == rule["dimension"]]
    low, high = (
        check_quantity(rule[end], {"dimension": rule["dimension"]}).value for end in ("min", "max")
    )
    unit = draw(st.sampled_from(units))
    share = draw(st.floats(0, 1) | st.sampled_from((0.0, 1.0, 0.5)))
    number = unit.from_si(low + (high - low) * share)
    short = float(f"{number:.{draw(st.integers(2, 6))}g}")
    words = f"{short:.12f}".rstrip("0").rstrip(".") or "0"
    if words in ("-0", ""):
        words = "0"
    if bare and unit.symbol == "":
        found: str | float = float(words)
    else:
        found = words + draw(st.sampled_from((" ", "", "  "))) + unit.symbol
    try:
        check_quantity(found, rule)
    except QuantityError:  # rounded over the edge of the span
        return rule["min"]
    return found


def value(schema: Schema, beside: dict[str, Any] | None = None) -> st.SearchStrategy[Any]:
    """Anything that fits a schema; `beside` holds what its siblings say."""
    if "enum" in schema:
        return st.sampled_from(schema["enum"])
    types = schema["type"] if isinstance(schema.get("type"), list) else [schema.get("type")]
    rule = schema.get("x-quantity")
    if rule:
        rule = rule["kinds"][(beside or {})[rule["by"]]] if "by" in rule else rule
        return quantity(rule, "number" in types)
    kinds = {"object": _mapping, "array": _list, "string": _text}
    made = [kinds[kind](schema) for kind in types if kind in kinds]
    if "integer" in types:
        made.append(st.integers(schema["minimum"], schema["maximum"]))
    if "number" in types:
        low, high = schema.get("minimum", -1e6), schema.get("maximum", 1e6)
        made.append(st.floats(low, high).map(lambda number: float(f"{number:.4g}")).filter(
            lambda number: low <= number <= high))  # fmt: skip
    if "boolean" in types:
        made.append(st.booleans())
    if "null" in types:
        made = [*made * 6, st.none()]
    return st.one_of(made)


def _text(schema: Schema) -> st.SearchStrategy[str]:
    if schema.get("format") == "date":
        return st.dates(date(1990, 1, 1), date(2100, 12, 31)).map(str)
    if "pattern" in schema:
        whole = re.compile(schema["pattern"].removeprefix("^").removesuffix("$"), re.ASCII)
        signs = st.characters(min_codepoint=32, max_codepoint=126, include_characters="–")
        found = st.from_regex(whole, fullmatch=True, alphabet=signs)
        return found.filter(lambda words: len(words) <= schema.get("maxLength", 400))
    return text(schema.get("minLength", 1), min(schema.get("maxLength", 60), 400))


def _list(schema: Schema) -> st.SearchStrategy[list[Any]]:
    most = min(schema["maxItems"], max(MOST_ITEMS, schema["minItems"]))
    return st.lists(
        value(schema["items"]),
        min_size=schema["minItems"],
        max_size=most,
        unique=schema.get("uniqueItems", False),
    )


@st.composite
def _mapping(draw: st.DrawFn, schema: Schema) -> dict[str, Any]:
    found: dict[str, Any] = {}
    known, rest = schema.get("properties", {}), schema.get("additionalProperties")
    left_out = [key for key in known if key not in schema.get("required", ())]
    kept = set(draw(st.lists(st.sampled_from(left_out), unique=True))) if left_out else set()
    for key, below in known.items():
        if key in schema.get("required", ()) or key in kept or draw(st.booleans()):
            found[key] = draw(value(below, found))
    if isinstance(rest, dict):
        least = schema.get("minProperties", 0)
        names = st.lists(text(1, 20), min_size=least, max_size=MOST_ITEMS, unique=True)
        found |= {name: draw(value(rest)) for name in draw(names)}
    if len(found) < schema.get("minProperties", 0):
        key = draw(st.sampled_from(left_out))
        found[key] = draw(value(known[key], found))
    return found


@st.composite
def specs(draw: st.DrawFn) -> dict[str, Any]:
    """A sound spec file."""
    return agreeing(draw, draw(value(SCHEMA)))


def written(spec: dict[str, Any]) -> tuple[str, dict[Path_, int]]:
    """YAML of plain data, and the line on which each value's key stands; those of a list on the item's own."""
    lines: list[str] = []
    places: dict[Path_, int] = {}
    _block(spec, 0, (), lines, places)
    return "\n".join(lines) + "\n", places


def _block(given: Any, depth: int, at: Path_, lines: list[str], places: dict[Path_, int]) -> None:
    pairs = given.items() if isinstance(given, dict) else enumerate(given)
    for key, each in pairs:
        lead = "  " * depth + ("- " if isinstance(key, int) else f"{_key(key)}: ")
        places[(*at, key)] = len(lines) + 1
        if isinstance(each, (dict, list)) and each:
            lines.append(lead.rstrip())
            _block(each, depth + 1, (*at, key), lines, places)
        else:
            lines.append(lead + json.dumps(each, ensure_ascii=False))


def _key(key: str) -> str:
    return key if re.fullmatch("[a-z_]+", key) else json.dumps(key, ensure_ascii=False)


def properties(schema: Schema = SCHEMA, given: Any = None, at: str = "") -> Iterator[str]:
    """Dotted names of all properties of a schema; of those in use, when there is something given."""
    every = given is None
    for key, below in schema.get("properties", {}).items():
        if every or (isinstance(given, dict) and given.get(key) is not None):
            yield f"{at}{key}"
            yield from properties(below, None if every else given[key], f"{at}{key}.")
    for word in ("items", "additionalProperties"):
        below, listed = schema.get(word), given if isinstance(given, list) else []
        if not isinstance(below, dict):
            continue
        if isinstance(given, dict) and word == "additionalProperties":
            listed = [
                each for key, each in given.items() if key not in schema.get("properties", {})
            ]
        for each in [None] if every else listed:
            yield f"{at}*"
            yield from properties(below, each, f"{at}*.")
