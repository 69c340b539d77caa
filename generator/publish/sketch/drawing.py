"""The text of a sketch: lines for known values, commented-out lines to fill in, and explanations.

* compose_sketch    the whole file

Order of keys and explanations come from the schema. A line to fill in begins with `#` and no space; without the `#`
it is a line of the file, correctly indented.
"""

import textwrap
from collections.abc import Iterator
from typing import Any

from generator.publish.sketch.answers import LEVEL_KINDS, US_UNITS, Answers, select_keys
from generator.publish.sketch.values import format_yaml
from generator.specs.units import BY_SYMBOL

Schema = dict[str, Any]

MODELINE = "# yaml-language-server: $schema=bike.schema.json"
COLUMN = 31
"""Column at which comments begin."""
WIDTH = 100
METRIC_SYMBOLS = ("kg", "mm", "km", "km/h", "m/s", "bar", "N·m", "°C")
US_SYMBOLS = (*US_UNITS, "lb·ft", "°F")
ASSUMED_HINT = " This is the usual one, and nobody has stated it: check it."
ADD_LEVEL_HINT = (
    "# To add a level, copy the last line and change it; delete lines that are too many."
)
LATER_KEYS = ("tests", "rides", "ridden", "revisions", "corrections", "stated_by", "note")
"""Keys to add later, when the bike has been ridden or has changed."""


def compose_sketch(answers: Answers, schema: Schema, slug: str) -> str:
    """The text of a spec file for the bike that `answers` describes."""
    keys = select_keys(answers)
    lines = [
        MODELINE,
        "# To fill in a line, take the # at its beginning away and write the value behind the colon,",
        "# with its unit as printed. Delete what nobody states, and comments as you like. Then:",
        f"#   python -m generator vet bikes/{slug}.yaml",
        *_group_lines(schema, "", answers, keys),
        f"# Later, once there is something to tell: {', '.join(LATER_KEYS)}.",
        f"# With ridden, say on what terms you had it: {{state: borrowed, relation: {_list_relations(schema)}}}.",
    ]
    return "\n".join(lines) + "\n"


def _list_relations(schema: Schema) -> str:
    """The allowed words for the terms on which a bike was ridden, such as `none | gifted`."""
    ridden = schema.get("properties", {}).get("ridden", {}).get("properties", {})
    return " | ".join(ridden.get("relation", {}).get("enum", ()))


def _group_lines(schema: Schema, begin: str, answers: Answers, keys: set[str]) -> Iterator[str]:
    """Lines of the keys in one mapping, whose dotted key and a dot are `begin`."""
    indent = "  " * begin.count(".")
    for key, part in _iterate_parts(schema, begin, keys):
        path = f"{begin}{key}"
        inside = f"{path}."
        if path == "assist.levels":
            yield from _level_lines(part, answers, indent)
        elif "object" in part.get("type", "") and _is_block(part, begin):
            if any(each.startswith(inside) for each in keys):
                yield from _commented_line(f"{indent}{key}:", part["description"])
                yield from _group_lines(part, inside, answers, keys)
        elif path in keys or any(each.startswith(inside) for each in keys):
            yield from _key_lines(part, path, answers, indent)


def _iterate_parts(schema: Schema, begin: str, keys: set[str]) -> Iterator[tuple[str, Schema]]:
    """Keys of a mapping with their schemas: those that the schema names, then the free ones among `keys`."""
    yield from schema.get("properties", {}).items()
    below = schema.get("additionalProperties")
    if isinstance(below, dict):
        free = {each[len(begin) :].split(".")[0] for each in keys if each.startswith(begin)}
        yield from ((key, below) for key in sorted(free))


def _is_block(part: Schema, begin: str) -> bool:
    """Does a mapping take one line for each key? Top groups and sources do; a brake or a claim takes a single line."""
    return not begin or begin == "sources."


def _key_lines(part: Schema, path: str, answers: Answers, indent: str) -> Iterator[str]:
    """Lines of one key: its value if it is known, else a line to fill in."""
    key = path.rsplit(".", 1)[-1]
    if "array" in part.get("type", "") and part["items"].get("type") == "object":
        yield from _commented_line(f"{indent}{key}:", part["description"])
        for item in answers.given.get(path, ()):
            yield f"{indent}  - {format_yaml(item)}"
        if path not in answers.given:
            yield from _commented_line(
                f"{indent}  #- {_format_blank(part['items'])}",
                _compose_comment(part["items"], path, answers),
            )
        return
    given = _find_given(path, answers)
    if given is not None:
        words = str(part["description"])
        words += ASSUMED_HINT if path in answers.assumed else ""
        yield from _commented_line(f"{indent}{key}: {format_yaml(given)}", words)
    else:
        blank = f" {_format_blank(part)}" if "object" in part.get("type", "") else ""
        yield from _commented_line(f"{indent}#{key}:{blank}", _compose_comment(part, path, answers))


def _find_given(path: str, answers: Answers) -> Any:
    """The known value of a key, or a mapping of known values below it; None if there is neither."""
    if path in answers.given:
        return answers.given[path]
    begin = f"{path}."
    below = {
        key.removeprefix(begin): value
        for key, value in answers.given.items()
        if key.startswith(begin)
    }
    return below or None


def _format_blank(part: Schema) -> str:
    """A mapping on one line to fill in, such as `{kind: , rotor: }`."""
    keys = part.get("required") or list(part["properties"])[:2]
    return "{" + ", ".join(f"{key}: " for key in keys) + "}"


def _level_lines(part: Schema, answers: Answers, indent: str) -> Iterator[str]:
    """Lines of the assist levels."""
    yield from _commented_line(f"{indent}levels:", part["description"])
    if "assist.levels" in answers.given:
        for level in answers.given["assist.levels"]:
            yield f"{indent}  - {format_yaml(level)}"
        yield f"{indent}  {ADD_LEVEL_HINT}"
        return
    key = LEVEL_KINDS[answers.level_kind]
    limit = part["items"]["properties"][key]
    for number in range(1, answers.levels + 1):
        words = _compose_comment(limit, f"assist.levels.{key}", answers) if number == 1 else ""
        yield from _commented_line(f'{indent}  #- {{name: "{number}", {key}: }}', words)
    yield f"{indent}  {ADD_LEVEL_HINT}"


def _compose_comment(part: Schema, path: str, answers: Answers) -> str:
    """The comment of a key: its description, with the allowed words or an example."""
    words = str(part["description"])
    if part.get("type") == "boolean":
        return f"{words} true or false."
    if "object" in part.get("type", ""):
        for key, below in part["properties"].items():
            if "enum" in below:
                words += f" {key}: {' | '.join(below['enum'])}."
    if "enum" in part or "enum" in part.get("items", {}):
        return words
    example = _choose_example(part, path, answers)
    return f"{words} Such as {example if part.get('format') == 'date' else format_yaml(example)}"


def _choose_example(part: Schema, path: str, answers: Answers) -> Any:
    """The example in the schema that suits the bike's units and gears."""
    examples = part["examples"]
    if isinstance(examples[0], dict):
        parts = part["properties"]
        return {key: _choose_example(parts[key], f"{path}.{key}", answers) for key in examples[0]}
    if path == "drivetrain.cogs" and answers.shifting != "derailleur":
        return examples[-1]
    foreign = METRIC_SYMBOLS if answers.units == "us" else US_SYMBOLS
    return next((each for each in examples if _unit_symbol(each) not in foreign), examples[0])


def _unit_symbol(example: Any) -> str:
    """The unit at the end of an example; empty if there is none."""
    last = example.split(" ")[-1] if isinstance(example, str) else ""
    return last if last in BY_SYMBOL else ""


def _commented_line(code: str, words: str) -> Iterator[str]:
    """A line with its comment, which continues on further lines if it is long."""
    if not words:
        yield code
        return
    start = max(COLUMN, len(code) + 2)
    room = WIDTH - COLUMN - 2
    first, *rest = textwrap.wrap(words, max(20, WIDTH - start - 2)) or [""]
    yield f"{code.ljust(start)}# {first}"
    for more in textwrap.wrap(" ".join(rest), room):
        yield f"{' ' * COLUMN}# {more}"
