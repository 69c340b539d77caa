"""Schema errors in words for people who know bikes.

* Finding          where a file breaks the schema, what is wrong, what would be right
* explain_error    turns one error of jsonschema into findings
"""

import difflib
import re
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any, NamedTuple

from generator.specs.date_words import date_advice
from generator.specs.problems import Severity
from generator.specs.yaml.lines import explain_missing_colon
from generator.specs.yaml.located import Keys, format_keys, quote_value

Schema = dict[str, Any]

KINDS = {
    "string": "text",
    "integer": "a whole number",
    "number": "a number",
    "boolean": "true or false",
    "array": "a list, such as [a, b]",
    "object": "keys with values",
    "null": "nothing",
}

SEPARATOR = re.compile(r"(?<=[0-9])[,' ](?=[0-9]{3}(?![0-9]))")
NUMBERS = re.compile(r"[0-9.]+(?:, *[0-9.]+)*")


class Finding(NamedTuple):
    """A problem at a key path, before its line has been looked up."""

    keys: Keys
    what: str
    mend: str
    at_key: bool = False
    severity: Severity = "error"


def explain_error(error: Any, keys: Keys, root: Schema) -> Iterator[Finding]:
    """The findings of one error; `keys` is the error's path, `root` the whole schema."""
    if error.validator == "additionalProperties":
        yield from _report_unknown_keys(error, keys, root)
    elif error.validator == "required":
        yield from _report_missing_key(error, keys)
    else:
        subject = format_keys(keys) or "the file"
        if error.instance is None and error.schema.get("x-later"):
            yield _report_empty_group(error.schema, subject, keys, root)
            return
        if error.instance is None:
            what, mend = "has no value", _advise_example(error.schema, "Write its value")
            if not _is_required(keys, root):
                inside = len(keys) > 2 and isinstance(keys[-1], str)
                mend += f", or leave '{keys[-1]}' out" if inside else ", or delete the line"
        else:
            explain = EXPLAINERS.get(error.validator, _explain_other)
            what, mend = explain(error.instance, error.schema, error)
        yield Finding(keys, f"{subject}: {what}", mend)


def _report_empty_group(schema: Schema, subject: str, keys: Keys, root: Schema) -> Finding:
    """The warning for a group that is still empty."""
    below = ", ".join(list(schema.get("properties", {}))[:5])
    mend = f"Fill in {below}" if below else _advise_example(schema, "Fill it in")
    mend += "" if _is_required(keys, root) else ", or delete the line"
    return Finding(keys, f"{subject}: nothing is stated here yet", mend, severity="warning")


def _report_unknown_keys(error: Any, keys: Keys, root: Schema) -> Iterator[Finding]:
    """One finding for each key that the schema does not know."""
    known: Schema = error.schema.get("properties", {})
    for key in error.instance:
        if key in known:
            continue
        parent = format_keys(keys)
        what = (
            f"there is no key {quote_value(key)} in {parent}"
            if parent
            else f"there is no key {quote_value(key)}"
        )
        yield Finding((*keys, key), what, _suggest_key(key, known, root), at_key=True)


def _suggest_key(key: str, known: Schema, root: Schema) -> str:
    """Advice on an unknown key."""
    also = {name: to for to, below in known.items() for name in below.get("x-also", ())}
    folded = key.casefold().replace("-", "_").replace(" ", "_")
    spelled = {**also, **{name: name for name in known}}
    parents = _find_parents(folded, root)
    if folded not in spelled and parents:
        return f"'{folded}' belongs in {' or '.join(parents[:3])}: move the line there"
    if near := difflib.get_close_matches(folded, spelled, 1, 0.6):
        meant = spelled[near[0]]
        return f"Did you mean '{meant}'? {_describe_key(meant, known)}"
    return f"Delete the line, or use one of: {', '.join(known)}"


def _describe_key(key: str, known: Schema) -> str:
    """The first sentence of a known key's description."""
    return str(known[key].get("description", "")).split(". ")[0].rstrip(".")


def _find_parents(key: str, schema: Schema, keys: Keys = ()) -> list[str]:
    """Dotted parents under which the schema knows a key."""
    found = []
    for name, below in schema.get("properties", {}).items():
        if name == key and keys:
            found.append(".".join(map(str, keys)))
        if isinstance(below, dict):
            inner = below.get("items", below)
            found += _find_parents(key, inner if isinstance(inner, dict) else {}, (*keys, name))
    return found


def _report_missing_key(error: Any, keys: Keys) -> Iterator[Finding]:
    """One finding for each required key that is not there; jsonschema raises one error for each."""
    key = next(
        (name for name in error.validator_value if error.message.startswith(repr(name))), "a key"
    )
    below = error.schema.get("properties", {}).get(key, {})
    parent = format_keys(keys)
    what = f"{parent} has no '{key}'" if parent else f"the key '{key}' is missing"
    yield Finding(keys, what, _advise_example(below, "Add a line", key))


def _explain_type(value: Any, schema: Schema, error: Any) -> tuple[str, str]:
    types = schema.get("type", "string")
    names = [types] if isinstance(types, str) else [name for name in types if name != "null"]
    wanted = " or ".join(KINDS[name] for name in names)
    got = _name_kind(value)
    if "pattern" in schema and not isinstance(value, (list, dict)):
        return _explain_pattern(value, schema, error)
    if "string" in names and isinstance(value, (int, float, date)):
        return (
            f"{quote_value(value)} is read as {got}, text is wanted",
            f'Put it in quotes: "{value}"',
        )
    if names == ["boolean"]:
        meant = {"yes": "true", "on": "true", "no": "false", "off": "false"}
        better = meant.get(str(value).casefold())
        return (
            f"{quote_value(value)} is {got}",
            f"Write {better}" if better else "Write true or false",
        )
    what = f"{quote_value(value)} is {got}, and this takes {wanted}"
    if names == ["object"] and isinstance(value, (bool, str)):
        return _explain_missing_group(value, what, schema)
    if isinstance(value, str) and wanted in (KINDS["integer"], KINDS["number"]):
        return what, _advise_example(schema, "Write a number without quotes")
    if names == ["object"] and isinstance(value, list):
        dashes = "Take the dashes and brackets away, and write keys with their values"
        return "a list stands where keys with values are wanted", _advise_example(schema, dashes)
    if names == ["array"] and (mend := _advise_brackets(value, schema)):
        return what, mend
    return what, _advise_example(schema, "Write it")


def _advise_brackets(value: Any, schema: Schema) -> str:
    """Advice on one value, or several with commas, where a list is wanted."""
    items = schema.get("items", {})
    words = items.get("type") == "string" or "enum" in items
    numbers = items.get("type") in ("integer", "number")
    if isinstance(value, str) and (words or (numbers and NUMBERS.fullmatch(value))):
        return f"Put it in brackets: [{value}]"
    single = isinstance(value, (int, float)) and not isinstance(value, bool)
    return f"Put it in brackets: [{value}]" if numbers and single else ""


def _explain_missing_group(value: bool | str, what: str, schema: Schema) -> tuple[str, str]:
    """A word or a line where a group of keys is wanted."""
    word = str(value).casefold()
    if word in ("true", "yes", "on"):
        what = f"{quote_value(value)} alone is not enough, this takes keys with values"
        return what, _advise_example(schema, "Say more")
    if word in ("false", "no", "off", "none"):
        what = f"{quote_value(value)} stands where keys with values are wanted"
        return what, f"Delete the line if there is none; {_advise_example(schema, 'else write it')}"
    first = word.replace(":", " ").split(" ")[0]
    if first != word and first in schema.get("properties", {first: {}}):
        return explain_missing_colon(str(value)) or (what, _advise_example(schema, "Write it"))
    return what, _advise_example(schema, "Write it")


def _name_kind(value: Any) -> str:
    if isinstance(value, bool):
        return "a plain true or false"
    if isinstance(value, (int, float)):
        return "a number"
    if isinstance(value, date):
        return "a date"
    if isinstance(value, (list, dict)):
        return "a list" if isinstance(value, list) else "a group of keys"
    return "text"


def _explain_enum(value: Any, schema: Schema, error: Any) -> tuple[str, str]:
    choices = [str(choice) for choice in schema["enum"]]
    word = str(value).casefold().replace("_", " ")
    near = [choice for choice in choices if word and word in choice.split()]
    near = near or difflib.get_close_matches(word, choices, 1, 0.5)
    listed = f"Write one of: {', '.join(choices)}"
    what = f"{quote_value(value)} is not one of the words known here"
    return what, f"Did you mean '{near[0]}'? {listed}" if len(near) == 1 else listed


def _explain_span(value: Any, schema: Schema, error: Any) -> tuple[str, str]:
    low = schema.get("minimum", schema.get("exclusiveMinimum"))
    high = schema.get("maximum", schema.get("exclusiveMaximum"))
    what = f"{quote_value(value)} is too {'small' if 'inimum' in error.validator else 'large'}"
    if low is None or high is None:
        return (
            what,
            f"Write a number from {low} upwards" if high is None else f"Write {high} at most",
        )
    return what, f"Write a number from {low} to {high}"


def _explain_length(value: Any, schema: Schema, error: Any) -> tuple[str, str]:
    limit = error.validator_value
    match error.validator:
        case "minLength" if value.strip():
            return (
                f"the text has {len(value.strip())} characters",
                f"Write {schema['minLength']} at least",
            )
        case "minLength":
            return "the text is empty", _advise_example(schema, "Write it") + ", or delete the line"
        case "maxLength":
            return f"the text has {len(value)} characters", f"Write it in {limit} at most"
        case "minItems" | "minProperties":
            return "too little stands here", _advise_example(schema, f"Write {limit} at least")
        case "maxItems" | "maxProperties":
            return f"{len(value)} parts stand here", f"Write {limit} at most"
    return "a value stands here twice", "Write each value once"


def _explain_format(value: Any, schema: Schema, error: Any) -> tuple[str, str]:
    return f"{quote_value(value)} is not a date", date_advice(str(value))


def _explain_pattern(value: Any, schema: Schema, error: Any) -> tuple[str, str]:
    plain = SEPARATOR.sub("", str(value))
    if plain != str(value) and re.search(schema["pattern"], plain):
        return (
            f"{quote_value(value)} has a separator inside its number",
            f"Write {quote_value(plain)}",
        )
    mend = schema.get("x-hint") or _advise_example(schema, "Write it")
    return f"{quote_value(value)} has not the form wanted", mend


def _explain_quantity(value: Any, schema: Schema, error: Any) -> tuple[str, str]:
    return error.cause.what, error.cause.mend


def _explain_other(value: Any, schema: Schema, error: Any) -> tuple[str, str]:
    return " ".join(error.message.split())[:200], _advise_example(schema, "Change it")


def _advise_example(schema: Schema, begin: str, key: str = "") -> str:
    """`Write its value, such as 26.1 kg`."""
    if choices := schema.get("enum"):
        listed = ", ".join(map(str, choices))
        return f"{begin} '{key}: …' with one of: {listed}" if key else f"{begin}: one of {listed}"
    if not schema.get("examples"):
        return f"{begin} '{key}: …'" if key else begin
    example = _format_yaml(schema["examples"][0])
    return f"{begin} such as '{key}: {example}'" if key else f"{begin}, such as {example}"


def _format_yaml(value: Any) -> str:
    """A value as it is typed in a spec file."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(_format_yaml, value))}]"
    if isinstance(value, dict):
        return (
            "{" + ", ".join(f"{key}: {_format_yaml(below)}" for key, below in value.items()) + "}"
        )
    return str(value)


def _is_required(keys: Keys, root: Schema) -> bool:
    """Does the schema require the key at this path?"""
    schema: Any = root
    for key in keys[:-1]:
        inner = (
            schema.get("items") if isinstance(key, int) else schema.get("properties", {}).get(key)
        )
        schema = inner if isinstance(inner, dict) else {}
    return bool(keys) and keys[-1] in schema.get("required", ())


EXPLAINERS: dict[str, Callable[[Any, Schema, Any], tuple[str, str]]] = {
    "type": _explain_type,
    "enum": _explain_enum,
    "minimum": _explain_span,
    "maximum": _explain_span,
    "exclusiveMinimum": _explain_span,
    "exclusiveMaximum": _explain_span,
    "minLength": _explain_length,
    "maxLength": _explain_length,
    "minItems": _explain_length,
    "maxItems": _explain_length,
    "minProperties": _explain_length,
    "maxProperties": _explain_length,
    "uniqueItems": _explain_length,
    "format": _explain_format,
    "pattern": _explain_pattern,
    "x-quantity": _explain_quantity,
}
