"""Values of the command line, as they stand in a spec file.

* value_of    the value of a key from its words, or a problem with them
* part_of     the schema of a dotted key
* drawn       a value as YAML on one line, which reads back as the same value
"""

import difflib
import json
import re
from datetime import date
from typing import Any

from generator.specs.problems import Problem
from generator.specs.yaml.files import parse_mapping
from generator.specs.yaml.located import Keys, shown

Schema = dict[str, Any]
PRICE = re.compile(
    r"([0-9][0-9,' ]*(?:\.[0-9]{1,2})?) ?([A-Za-z]{3})|([A-Za-z]{3}) ?([0-9][0-9,' ]*(?:\.[0-9]{1,2})?)"
)
AMOUNT = re.compile(r"(?:[0-9]+|[0-9]{1,3}(?:[,' ][0-9]{3})+)(?:\.[0-9]{1,2})?")


def value_of(key: str, words: str, schema: Schema, flag: str) -> tuple[Any, list[Problem]]:
    """The value that `words` state for a dotted key of the schema."""
    part = part_of(key, schema)
    if part is None:
        near = difflib.get_close_matches(key, _known(schema), 1, 0.5)
        mend = f"Did you mean '{near[0]}'?" if near else "Write a dotted key, such as motor.torque"
        return None, [Problem(flag, 0, 0, f"a spec file has no key {shown(key)}", mend)]
    if key == "price.list":
        return _price(words), []
    types = part.get("type", "string")
    if part.get("format") == "date" or types != "string":
        marked, problems = parse_mapping(f"v: {words}", flag)
        if "enum" not in part:
            value = marked.value["v"] if marked else None
            return value, [Problem(flag, 0, 0, each.what, each.mend) for each in problems]
    return " ".join(words.split()), []


def part_of(key: str, schema: Schema) -> Schema | None:
    """The schema of the value at a dotted key; None when there is none. `*` is an item of a list."""
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


def drawn(value: Any, inline: bool = False) -> str:
    """YAML on one line; `inline` for a value inside brackets. None is drawn as nothing."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (int, float, date)):
        return str(value)
    if isinstance(value, list):
        return f"[{', '.join(drawn(each, True) for each in value)}]"
    if isinstance(value, dict):
        pairs = (f"{key}: {drawn(each, True)}" for key, each in value.items())
        return "{" + ", ".join(pairs) + "}"
    text = f"v: {{w: {value}}}" if inline else f"v: {value}"
    marked, problems = parse_mapping(text, "")
    wanted = {"w": value} if inline else value
    plain = marked is not None and not problems and marked.value["v"] == wanted
    return value if plain and "\n" not in value else json.dumps(value, ensure_ascii=False)


def _price(words: str) -> str:
    """`1899 USD` for `1,899 USD` and `USD 1899`; other words stay as they are."""
    match = PRICE.fullmatch(words.strip())
    if match is None:
        return words
    amount, currency = (match[1] or match[4]).strip(), (match[2] or match[3]).upper()
    if not AMOUNT.fullmatch(amount):
        return words
    plain = re.sub("[,' ]", "", amount)
    return f"{plain} {currency}"


def _known(schema: Schema, begin: Keys = ()) -> list[str]:
    """Every dotted key of a schema."""
    found = []
    for key, below in schema.get("properties", {}).items():
        path = (*begin, key)
        found += [".".join(map(str, path)), *_known(below, path)]
    return found
