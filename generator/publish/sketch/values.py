"""Converts values of the command line to those of a spec file.

* parse_value  the value of a key from its words, or a problem with them
* find_part    the schema of a dotted key
* format_yaml  a value as YAML on one line that is read back as the same value
"""

import difflib
import json
import re
from datetime import date
from typing import Any

from generator.specs.problems import Problem
from generator.specs.yaml.files import parse_mapping
from generator.specs.yaml.located import Keys, quote_value

Schema = dict[str, Any]
PRICE_PATTERN = re.compile(
    r"([0-9][0-9,' ]*(?:\.[0-9]{1,2})?) ?([A-Za-z]{3})|([A-Za-z]{3}) ?([0-9][0-9,' ]*(?:\.[0-9]{1,2})?)"
)
AMOUNT_PATTERN = re.compile(r"(?:[0-9]+|[0-9]{1,3}(?:[,' ][0-9]{3})+)(?:\.[0-9]{1,2})?")


def parse_value(key: str, words: str, schema: Schema, flag: str) -> tuple[Any, list[Problem]]:
    """The value that `words` state for a dotted key of the schema, or None and problems under `flag`."""
    part = find_part(key, schema)
    if part is None:
        near = difflib.get_close_matches(key, _list_dotted_keys(schema), 1, 0.5)
        mend = f"Did you mean '{near[0]}'?" if near else "Write a dotted key, such as motor.torque"
        return None, [Problem(flag, 0, 0, f"a spec file has no key {quote_value(key)}", mend)]
    if key == "price.list":
        return _normalize_price(words), []
    types = part.get("type", "string")
    if part.get("format") == "date" or types != "string":
        marked, problems = parse_mapping(f"v: {words}", flag)
        if "enum" not in part:
            value = marked.value["v"] if marked else None
            return value, [Problem(flag, 0, 0, each.what, each.mend) for each in problems]
    return " ".join(words.split()), []


def find_part(key: str, schema: Schema) -> Schema | None:
    """The schema of the value at a dotted key; None if there is none. `*` is an item of a list."""
    part: Any = schema
    for step in key.split("."):
        known = part.get("properties", {})
        part = (
            part.get("items")
            if step == "*"
            else known.get(step) or part.get("additionalProperties")
        )
        if not isinstance(part, dict):
            return None
    return part


def format_yaml(value: Any, inline: bool = False) -> str:
    """A value as YAML on one line; `inline` for a value inside brackets. None gives an empty text."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (int, float, date)):
        return str(value)
    if isinstance(value, list):
        return f"[{', '.join(format_yaml(each, True) for each in value)}]"
    if isinstance(value, dict):
        pairs = (f"{key}: {format_yaml(each, True)}" for key, each in value.items())
        return "{" + ", ".join(pairs) + "}"
    text = f"v: {{w: {value}}}" if inline else f"v: {value}"
    marked, problems = parse_mapping(text, "")
    wanted = {"w": value} if inline else value
    plain = marked is not None and not problems and marked.value["v"] == wanted
    return value if plain and "\n" not in value else json.dumps(value, ensure_ascii=False)


def _normalize_price(words: str) -> str:
    """`1899 USD` for `1,899 USD` and `USD 1899`; other words unchanged."""
    match = PRICE_PATTERN.fullmatch(words.strip())
    if match is None:
        return words
    amount, currency = (match[1] or match[4]).strip(), (match[2] or match[3]).upper()
    if not AMOUNT_PATTERN.fullmatch(amount):
        return words
    plain = re.sub("[,' ]", "", amount)
    return f"{plain} {currency}"


def _list_dotted_keys(schema: Schema, begin: Keys = ()) -> list[str]:
    """Every dotted key of a schema."""
    found = []
    for key, below in schema.get("properties", {}).items():
        path = (*begin, key)
        found += [".".join(map(str, path)), *_list_dotted_keys(below, path)]
    return found
