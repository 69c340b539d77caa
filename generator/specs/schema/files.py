"""The schema that a kind of file is checked by: the publication's own, else the one the generator came with.

* schema_of      the schema, or what is wrong with it
* brought        does the publication bring one that differs from ours?
* generators     ours

Ours is code. A publication's own comes from whoever sends a change, so it may ask for less than the validator can do:
only the keywords that ours have, in their right shape, and only patterns that ours have. So nothing in it can be
fetched, refer to itself, or keep a machine busy; and what it lets through must fit ours all the same.
"""

import json
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

from generator.specs import program
from generator.specs.problems import Problem
from generator.specs.units import DIMENSIONS
from generator.specs.yaml.files import decode, read_bytes

Schema = dict[str, Any]
Wrong = tuple[str, str]
"""What is wrong, and the mend."""

DEEPEST = 20
"""Levels of schemas within each other."""
_MEND = "Restore the file from the repository's history"


def schema_of(root: Path, name: str) -> tuple[Schema | None, list[Problem]]:
    """The schema `name`, such as `bikes/bike.schema.json`, of the publication at `root`."""
    path = root / name
    if not (path.exists() or path.is_symlink()):
        return generators(name), []
    if _leaves(path, root):
        what = "the schema is a link that leads out of the publication"
        return None, [Problem(name, 0, 0, what, "Put the file itself there")]
    raw, problems = read_bytes(path, name)
    if raw is None:
        return None, problems
    if raw == (program.ROOT / name).read_bytes():
        return generators(name), []
    return _parsed(raw, name)


def brought(root: Path, name: str) -> bool:
    """Does the publication bring a schema that says something else than ours?"""
    raw, _ = read_bytes(root / name, name)
    return raw is not None and raw != (program.ROOT / name).read_bytes()


def generators(name: str) -> Schema:
    """The schema of that name that the generator came with."""
    schema: Schema = json.loads((program.ROOT / name).read_text("utf-8"))
    return schema


def _leaves(path: Path, root: Path) -> bool:
    try:
        return not path.resolve().is_relative_to(root.resolve() / path.parent.name)
    except (OSError, RuntimeError, ValueError):  # a circle of links
        return True


def _parsed(raw: bytes, name: str) -> tuple[Schema | None, list[Problem]]:
    text, problems = decode(raw, name)
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
    wrong = next(_faults(schema), None)
    return (None, [Problem(name, 0, 0, *wrong)]) if wrong else (schema, [])


def _faults(schema: Schema) -> Iterator[Wrong]:
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
            elif keyword == "pattern" and not (isinstance(rule, str) and rule in _patterns()):
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


def _is(*kinds: type) -> Callable[[Any], bool]:
    return lambda rule: type(rule) in kinds


def _words(rule: Any) -> bool:
    return isinstance(rule, list) and all(isinstance(word, str) for word in rule)


@cache
def _patterns() -> frozenset[Any]:
    """Those of all our schemas, each of which takes time in proportion to the text it looks at."""
    files = [*program.ROOT.glob("bikes/*.schema.json"), *program.ROOT.glob("content/*.schema.json")]
    waiting: list[Any] = [json.loads(file.read_text("utf-8")) for file in files]
    found = set()
    while waiting:
        one = waiting.pop()
        if isinstance(one, dict):
            found |= {one["pattern"]} if isinstance(one.get("pattern"), str) else set()
            waiting += one.values()
    return frozenset(found)


def _quantity(rule: Any) -> bool:
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
    return plain and all("dimension" in each and _quantity(each) for each in kinds.values())


_TYPES = {"string", "integer", "number", "boolean", "array", "object", "null"}

_SHAPES: dict[str, Callable[[Any], bool]] = {
    **dict.fromkeys(("$schema", "title", "description", "format", "x-hint"), _is(str)),
    **dict.fromkeys(("default", "const"), _is(str, int, float, bool)),
    **dict.fromkeys(("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"), _is(int, float)),
    **dict.fromkeys(
        ("minLength", "maxLength", "minItems", "maxItems", "minProperties", "maxProperties"), _is(int)
    ),
    **dict.fromkeys(("enum", "required", "x-also"), _words),
    **dict.fromkeys(("uniqueItems", "x-later"), _is(bool)),
    **dict.fromkeys(("items", "propertyNames", "properties"), _is(dict)),
    "additionalProperties": _is(dict, bool),
    "defaultSnippets": lambda rule: True,
    "examples": _is(list),
    "pattern": _is(str),
    "type": lambda rule: (_words(rule) and set(rule) <= _TYPES) or (isinstance(rule, str) and rule in _TYPES),
    "x-needed-unless": _is(dict),
    "x-quantity": _quantity,
}  # fmt: skip
"""Every keyword that ours use, with the shape that the readers rely on."""
