"""Check a mapping against a JSON schema (draft 7); every error becomes a Problem with its place.

* validate_mapping    every problem of a mapping

Our own keywords, beside those of draft 7:

* `x-quantity`    `{dimension, min, max}`, the span as texts with units; or `{by, kinds}`, where the
                  sibling key `by` picks one of `kinds`
* `x-hint`        the advice when a value does not match `pattern`
* `x-needed-unless`  `{key: value}`: required as soon as that sibling has another value; `check_records`
                  checks it, and the form reads it here
* `x-also`        other names that people try for a key
* `x-later`       the group may be empty while the file is being filled in: a warning here, silent in
                  editors, since its type allows null

Blanks at the ends of a text do not count for `minLength`: a name of spaces is no name on any page.
Dates may stand without quotes: `format: date` takes a `datetime.date` or its text.
"""

import re
from collections.abc import Iterator
from datetime import date
from functools import cache
from itertools import islice
from typing import Any

from generator.specs.problems import Problem
from generator.specs.quantity import QuantityError, check_quantity
from generator.specs.schema.words import Finding, explain_error
from generator.specs.yaml.located import Keys, LocatedMapping
from generator.specs.yaml.scalars import is_day

Schema = dict[str, Any]
MOST_PROBLEMS = 100
"""Problems reported for one file; nobody corrects more in one go."""


def validate_mapping(
    mapping: LocatedMapping, schema: Schema, file: str | None = None
) -> list[Problem]:
    """Every problem of a mapping under a schema, in the order of the file.

    `file` is the file named in the problems; the mapping's own when left out.
    """
    name = file or mapping.file
    problems = []
    for found in islice(_find_errors(mapping, schema), MOST_PROBLEMS):
        line, column = (mapping.where_key if found.at_key else mapping.where)(found.keys)
        problems.append(Problem(name, line, column, found.what, found.mend, found.severity))
    if len(problems) == MOST_PROBLEMS:
        what = f"there are more than {MOST_PROBLEMS} problems in this file"
        problems.append(Problem(name, 0, 0, what, "Mend the ones listed here first"))
    return sorted(problems)


def _find_errors(mapping: LocatedMapping, schema: Schema) -> Iterator[Finding]:
    for error in _make_validator()(schema).iter_errors(mapping.value):
        keys: Keys = tuple(error.absolute_path)
        yield from explain_error(error, keys, schema)


@cache
def _make_validator() -> Any:
    """jsonschema's validator with our keywords. Imported here, since the import is slow."""
    from jsonschema import Draft7Validator
    from jsonschema.validators import extend

    plain = dict(Draft7Validator.VALIDATORS)

    def type_(validator: Any, types: Any, instance: Any, schema: Schema) -> Iterator[Any]:
        if "x-quantity" in schema:
            return  # says more about a value of the wrong type
        if instance is None and schema.get("x-later"):
            yield _make_error("empty", "type", instance, schema)
        elif not isinstance(instance, date):
            yield from plain["type"](validator, types, instance, schema) or ()
        elif schema.get("format") != "date":
            yield _make_error("a date", "type", instance, schema)

    def format_(validator: Any, name: str, instance: Any, schema: Schema) -> Iterator[Any]:
        if name == "date" and isinstance(instance, str) and not is_day(instance):
            yield _make_error("not a date", "format", instance, schema)

    def properties(validator: Any, keys: Schema, instance: Any, schema: Schema) -> Iterator[Any]:
        yield from plain["properties"](validator, keys, instance, schema) or ()
        if not isinstance(instance, dict):
            return
        for key, below in keys.items():
            rule = below.get("x-quantity", {})
            kind = instance.get(rule.get("by"))
            if key in instance and isinstance(kind, str) and kind in rule.get("kinds", {}):
                yield from _check_quantity(instance[key], rule["kinds"][kind], below, [key])

    def pattern(validator: Any, wanted: str, instance: Any, schema: Schema) -> Iterator[Any]:
        if isinstance(instance, str) and not _matches(wanted, instance):
            yield _make_error("another form", "pattern", instance, schema)

    def min_length(validator: Any, least: int, instance: Any, schema: Schema) -> Iterator[Any]:
        if isinstance(instance, str) and len(instance.strip()) < least:
            yield _make_error("too short", "minLength", instance, schema)

    def quantity(validator: Any, rule: Schema, instance: Any, schema: Schema) -> Iterator[Any]:
        if "dimension" in rule:
            yield from _check_quantity(instance, rule, schema, [])

    ours = {
        "type": type_, "format": format_, "pattern": pattern, "properties": properties,
        "minLength": min_length, "x-quantity": quantity,
    }  # fmt: skip
    return extend(Draft7Validator, ours)


def _matches(pattern: str, text: str) -> bool:
    """Does a text match a schema's pattern? A `$` at its end means the end, as in ECMA 262, and no line end before it."""
    end = pattern.endswith("$") and not pattern.endswith("\\$")
    return re.search(pattern[:-1] + r"\Z" if end else pattern, text) is not None


def _check_quantity(value: object, rule: Schema, schema: Schema, path: list[str]) -> Iterator[Any]:
    examples = schema.get("examples", ())
    try:
        check_quantity(value, rule, str(examples[0]) if examples and "by" not in schema else "")
    except QuantityError as error:
        yield _make_error(str(error), "x-quantity", value, schema, path, error)


def _make_error(
    message: str, keyword: str, instance: object, schema: Schema, path: Any = (), cause: Any = None
) -> Any:
    from jsonschema import ValidationError

    return ValidationError(
        message, keyword, path, cause, instance=instance, schema=schema, validator_value=None
    )
