"""Sound spec files with one thing that their schema forbids, at a place that is drawn.

* spoiled    the file, the places where that may be told, and what was done
* WAYS       what may be done to a value
"""

import copy
from collections.abc import Callable, Iterator
from typing import Any

from hypothesis import strategies as st

from tests.hostile.drawn import SCHEMA, Path_, Schema

Draw = Callable[[st.SearchStrategy[Any]], Any]
Spoil = Callable[[Draw, Any, Schema], Any]

OTHER_UNITS = ("5 kg", "5 km", "5 V", "5 A", "5 N·m", "5 bar", "5 rpm", "5 Wh", "5 W", "5 °C")
ODD = ({}, [], "", None, True, [[1]], {"x": 1}, "\u202fno word", -1e9, 1e300)


def _out_of_span(draw: Draw, value: Any, schema: Schema) -> Any:
    ends = [schema[end] + by for end, by in (("minimum", -1), ("maximum", 1)) if end in schema]
    return draw(st.sampled_from(ends))


def _too_long(draw: Draw, value: Any, schema: Schema) -> Any:
    return "x" * (schema["maxLength"] + draw(st.integers(1, 50)))


def _too_many(draw: Draw, value: Any, schema: Schema) -> Any:
    some = value if isinstance(value, list) else [value]
    return (some or [0]) * (schema["maxItems"] + 1)


WAYS: dict[str, tuple[Callable[[Schema], bool], Spoil]] = {
    "another word": (lambda schema: "enum" in schema, lambda draw, value, schema: "no such word"),
    "out of its span": (lambda schema: "maximum" in schema, _out_of_span),
    "too long": (lambda schema: "maxLength" in schema, _too_long),
    "too many": (lambda schema: "maxItems" in schema, _too_many),
    "too few": (
        lambda schema: schema.get("minItems", 0) > 0,
        lambda draw, value, schema: [],
    ),
    "empty": (
        lambda schema: schema.get("minLength", 0) > 0,
        lambda draw, value, schema: draw(st.sampled_from(("", " ", "\u00a0"))),
    ),
    "another form": (
        lambda schema: "pattern" in schema or schema.get("format") == "date",
        lambda draw, value, schema: draw(st.sampled_from(("a b", "2026-13-01", "12 kg", "//x"))),
    ),
    "no quantity": (
        lambda schema: "dimension" in schema.get("x-quantity", {}),
        lambda draw, value, schema: draw(
            st.sampled_from(("much", "5", "1/2", "5,5 kg", "nan", "inf V", "1e999 m", "-3 kg"))
            | st.sampled_from(OTHER_UNITS)
        ),
    ),
    "another kind": (
        lambda schema: True,
        lambda draw, value, schema: draw(st.sampled_from(ODD)),
    ),
}


def spoiled(draw: Draw, spec: dict[str, Any]) -> tuple[dict[str, Any], list[Path_], str]:
    broken = copy.deepcopy(spec)
    nodes = [(path, schema) for path, schema in _nodes(broken, SCHEMA, ()) if path]
    how = draw(st.sampled_from(("value", "value", "value", "lacks", "adds")))
    if how == "value":
        return _of_value(draw, broken, nodes)
    groups = [((), SCHEMA), *((path, schema) for path, schema in nodes if _is_group(broken, path))]
    if how == "lacks":
        needing = [(path, schema) for path, schema in groups if schema.get("required")]
        path, schema = draw(st.sampled_from(needing))
        group, key = _at(broken, path), draw(st.sampled_from(schema["required"]))
        del group[key]
        return broken, [path, *((*path, each) for each in group)], f"{path} lacks {key}"
    strict = [path for path, schema in groups if schema.get("additionalProperties") is False]
    path = draw(st.sampled_from(strict))
    group, key = _at(broken, path), draw(st.sampled_from(("wieght", "x y", "__proto__", "é", "no")))
    group[key] = draw(st.sampled_from(ODD))
    return broken, [(*path, key)], f"{path} has {key}"


def _of_value(
    draw: Draw, broken: dict[str, Any], nodes: list[tuple[Path_, Schema]]
) -> tuple[dict[str, Any], list[Path_], str]:
    path, schema = draw(st.sampled_from(nodes))
    fitting = [name for name, (wanted, _) in WAYS.items() if wanted(schema)]
    name = draw(st.sampled_from(fitting))
    group = _at(broken, path[:-1])
    value = WAYS[name][1](draw, group[path[-1]], schema)
    if _may_stand(value, schema):
        value, name = {"no": ["such", "value"]}, "a group of another kind"
        if schema.get("additionalProperties") not in (None, False):
            value, name = [["no such value"]], "a list of another kind"
    group[path[-1]] = value
    return broken, [path, *_under(path, value)], f"{name} at {path}: {value!r:.80}"


def _may_stand(value: Any, schema: Schema) -> bool:
    """Does a schema allow what was meant to break it? Judged by a library that knows nothing of ours."""
    from jsonschema import Draft7Validator

    if value is None and schema.get("x-later"):
        return True
    if value in ([], {}) and "minItems" not in schema and "minProperties" not in schema:
        return Draft7Validator(schema).is_valid(value)
    return _quantity_fits(value, schema) and Draft7Validator(schema).is_valid(value)


def _quantity_fits(value: Any, schema: Schema) -> bool:
    from generator.specs.quantity import QuantityError, check_quantity

    rule = schema.get("x-quantity", {})
    if "by" in rule:
        return False  # decided by a sibling; never one of the words above
    if "dimension" not in rule:
        return schema.get("format") != "date"
    try:
        check_quantity(value, rule)
    except QuantityError:
        return False
    return True


def _nodes(value: Any, schema: Schema, path: Path_) -> Iterator[tuple[Path_, Schema]]:
    """Each value that a schema speaks of, with its part of the schema."""
    yield path, schema
    known, rest = schema.get("properties", {}), schema.get("additionalProperties")
    if isinstance(value, dict):
        for key, below in value.items():
            part = known.get(key, rest)
            if isinstance(part, dict):
                yield from _nodes(below, part, (*path, key))
    if isinstance(value, list):
        for at, below in enumerate(value):
            yield from _nodes(below, schema["items"], (*path, at))


def _is_group(spec: dict[str, Any], path: Path_) -> bool:
    return isinstance(_at(spec, path), dict) and bool(_at(spec, path))


def _at(spec: Any, path: Path_) -> Any:
    for key in path:
        spec = spec[key]
    return spec


def _under(path: Path_, value: Any) -> list[Path_]:
    keys = (
        value if isinstance(value, dict) else range(len(value)) if isinstance(value, list) else ()
    )
    return [(*path, key) for key in keys]
