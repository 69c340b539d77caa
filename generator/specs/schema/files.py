"""The schema for a kind of file: the publication's own, else the generator's.

* find_schema              the schema of a publication, or what is wrong with it
* has_own_schema           whether the publication has a schema that differs from the generator's
* read_generator_schema    the generator's schema

The generator's schemas are code. A publication's schema may come from anyone who sends a change, so it may use only
keywords and patterns that the generator's schemas use, in the right shape: nothing in it can be fetched, refer to itself
or keep a machine busy. What it lets through must fit the generator's schema as well.
"""

import json
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

from generator.specs import program
from generator.specs.problems import Problem
from generator.specs.units import DIMENSIONS
from generator.specs.yaml.files import decode_text, read_bytes

Schema = dict[str, Any]
SchemaFault = tuple[str, str]
"""What is wrong, and what would be right."""

DEEPEST = 20
"""Levels of schemas within each other."""
_MEND = "Restore the file from the repository's history"


def find_schema(root: Path, name: str) -> tuple[Schema | None, list[Problem]]:
    """The schema `name`, such as `bikes/bike.schema.json`, of the publication at `root`."""
    path = root / name
    if not (path.exists() or path.is_symlink()):
        return read_generator_schema(name), []
    if _leads_outside(path, root):
        what = "the schema is a link that leads out of the publication"
        return None, [Problem(name, 0, 0, what, "Put the file itself there")]
    raw, problems = read_bytes(path, name)
    if raw is None:
        return None, problems
    if raw == (program.ROOT / name).read_bytes():
        return read_generator_schema(name), []
    return _parse_schema(raw, name)


def has_own_schema(root: Path, name: str) -> bool:
    """Does the publication have a schema that differs from the generator's?"""
    raw, _ = read_bytes(root / name, name)
    return raw is not None and raw != (program.ROOT / name).read_bytes()


def read_generator_schema(name: str) -> Schema:
    """The generator's own schema `name`."""
    schema: Schema = json.loads((program.ROOT / name).read_text("utf-8"))
    return schema


def _leads_outside(path: Path, root: Path) -> bool:
    try:
        return not path.resolve().is_relative_to(root.resolve() / path.parent.name)
    except (OSError, RuntimeError, ValueError):  # a circle of links
        return True


def _parse_schema(raw: bytes, name: str) -> tuple[Schema | None, list[Problem]]:
    text, problems = decode_text(raw, name)
    if text is None:
        return None, problems
    try:
        schema = json.loads(text)
    except json.JSONDecodeError as error:
        what = f"the schema is not JSON: {error.msg}"
        return None, [Problem(name, error.lineno, error.colno, what, _MEND)]
    except (ValueError, RecursionError):
        return None, [Problem(name, 0, 0, "the schema is not JSON", _MEND)]
    if not isinstance(schema, dict):
        return None, [Problem(name, 1, 1, "the schema is not a JSON object", _MEND)]
    wrong = next(_find_faults(schema), None)
    return (None, [Problem(name, 0, 0, *wrong)]) if wrong else (schema, [])


def _find_faults(schema: Schema) -> Iterator[SchemaFault]:
    waiting: list[tuple[Any, int]] = [(schema, 0)]
    while waiting:
        one, depth = waiting.pop()
        if depth > DEEPEST:
            yield f"schemas stand in each other more than {DEEPEST} levels deep", _MEND
            return
        if not isinstance(one, dict):
            yield "a JSON object is wanted in each place of a schema", _MEND
            return
        for keyword, rule in one.items():
            shape = _SHAPES.get(keyword)
            if shape is None and not keyword.startswith("x-"):
                yield f"the keyword '{keyword[:40]}' is not used in schemas here", "Take it out"
            elif keyword == "pattern" and not (isinstance(rule, str) and rule in _known_patterns()):
                yield f"the pattern {str(rule)[:60]!r} is not one that our schemas have", _MEND
            elif shape is not None and not shape(rule):
                yield f"the keyword '{keyword}' has a value of the wrong kind", _MEND
            elif keyword == "properties":
                waiting += [(below, depth + 1) for below in rule.values()]
            elif keyword in ("items", "additionalProperties", "propertyNames") and rule not in (
                True,
                False,
            ):
                waiting.append((rule, depth + 1))


def _has_type(*kinds: type) -> Callable[[Any], bool]:
    return lambda rule: type(rule) in kinds


def _is_text_list(rule: Any) -> bool:
    return isinstance(rule, list) and all(isinstance(word, str) for word in rule)


@cache
def _known_patterns() -> frozenset[Any]:
    """Patterns of all the generator's schemas; each takes time in proportion to the text it is matched with."""
    files = [*program.ROOT.glob("bikes/*.schema.json"), *program.ROOT.glob("content/*.schema.json")]
    waiting: list[Any] = [json.loads(file.read_text("utf-8")) for file in files]
    found = set()
    while waiting:
        one = waiting.pop()
        if isinstance(one, dict):
            found |= {one["pattern"]} if isinstance(one.get("pattern"), str) else set()
            waiting += one.values()
    return frozenset(found)


def _is_quantity_rule(rule: Any) -> bool:
    if not isinstance(rule, dict) or not all(
        isinstance(value, str) for key, value in rule.items() if key != "kinds"
    ):
        return False
    if "dimension" in rule and rule["dimension"] not in DIMENSIONS:
        return False
    kinds = rule.get("kinds", {})
    if not isinstance(kinds, dict) or ("by" in rule and not kinds):
        return False
    plain = "by" in rule or "dimension" in rule
    return plain and all("dimension" in each and _is_quantity_rule(each) for each in kinds.values())


_TYPES = {"string", "integer", "number", "boolean", "array", "object", "null"}

_SHAPES: dict[str, Callable[[Any], bool]] = {
    **dict.fromkeys(("$schema", "title", "description", "format", "x-hint"), _has_type(str)),
    **dict.fromkeys(("default", "const"), _has_type(str, int, float, bool)),
    **dict.fromkeys(("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"), _has_type(int, float)),
    **dict.fromkeys(
        ("minLength", "maxLength", "minItems", "maxItems", "minProperties", "maxProperties"), _has_type(int)
    ),
    **dict.fromkeys(("enum", "required", "x-also"), _is_text_list),
    **dict.fromkeys(("uniqueItems", "x-later"), _has_type(bool)),
    **dict.fromkeys(("items", "propertyNames", "properties"), _has_type(dict)),
    "additionalProperties": _has_type(dict, bool),
    "defaultSnippets": lambda rule: True,
    "examples": _has_type(list),
    "pattern": _has_type(str),
    "type": lambda rule: (_is_text_list(rule) and set(rule) <= _TYPES) or (isinstance(rule, str) and rule in _TYPES),
    "x-needed-unless": _has_type(dict),
    "x-quantity": _is_quantity_rule,
}  # fmt: skip
"""Every keyword that the generator's schemas use, with the shape that readers rely on."""
