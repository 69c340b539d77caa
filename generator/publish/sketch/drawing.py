"""The text of a sketch: live lines for what is known, lines to fill in for the rest, and comments.

* sketch_text    the whole file

Keys stand in the order of the schema, and every comment comes from there. A line to fill in begins
with `#` and no space: take that one sign away, and the line stands where it belongs.
"""

import textwrap
from collections.abc import Iterator
from typing import Any

from generator.publish.sketch.answers import LEVEL_KINDS, US_UNITS, Answers, wanted_keys
from generator.publish.sketch.values import drawn
from generator.specs.units import BY_SYMBOL

Schema = dict[str, Any]

MODELINE = "# yaml-language-server: $schema=bike.schema.json"
COLUMN = 31
"""Where comments begin."""
WIDTH = 100
METRIC = ("kg", "mm", "km", "km/h", "m/s", "bar", "N·m", "°C")
US = (*US_UNITS, "lb·ft", "°F")
ASSUMED = " This is the usual one, and nobody has stated it: check it."
ANOTHER = "# To add a level, copy the last line and change it; delete lines that are too many."
LATER = ("tests", "rides", "ridden", "revisions", "corrections", "stated_by", "note")
"""Keys that come when the bike has been ridden, or has changed."""


def sketch_text(answers: Answers, schema: Schema, slug: str) -> str:
    """The spec file of a bike of which `answers` is known."""
    keys = wanted_keys(answers)
    lines = [
        MODELINE,
        "# To fill in a line, take the # at its beginning away and write the value behind the colon,",
        "# with its unit as printed. Delete what nobody states, and comments as you like. Then:",
        f"#   python -m generator vet bikes/{slug}.yaml",
        *_group(schema, "", answers, keys),
        f"# Later, once there is something to tell: {', '.join(LATER)}.",
        f"# With ridden, say on what terms you had it: {{state: borrowed, relation: {_relations(schema)}}}.",
    ]
    return "\n".join(lines) + "\n"


def _relations(schema: Schema) -> str:
    """The words for the terms on which a bike was had."""
    ridden = schema.get("properties", {}).get("ridden", {}).get("properties", {})
    return " | ".join(ridden.get("relation", {}).get("enum", ()))


def _group(schema: Schema, begin: str, answers: Answers, keys: set[str]) -> Iterator[str]:
    """The lines of the keys in one mapping."""
    indent = "  " * begin.count(".")
    for key, part in _parts(schema, begin, keys):
        path = f"{begin}{key}"
        inside = f"{path}."
        if path == "assist.levels":
            yield from _levels(part, answers, indent)
        elif "object" in part.get("type", "") and _in_block(part, begin):
            if any(each.startswith(inside) for each in keys):
                yield from _line(f"{indent}{key}:", part["description"])
                yield from _group(part, inside, answers, keys)
        elif path in keys or any(each.startswith(inside) for each in keys):
            yield from _entry(part, path, answers, indent)


def _parts(schema: Schema, begin: str, keys: set[str]) -> Iterator[tuple[str, Schema]]:
    """Keys of a mapping with their schemas: those that it knows, then those that are free."""
    yield from schema.get("properties", {}).items()
    below = schema.get("additionalProperties")
    if isinstance(below, dict):
        free = {each[len(begin) :].split(".")[0] for each in keys if each.startswith(begin)}
        yield from ((key, below) for key in sorted(free))


def _in_block(part: Schema, begin: str) -> bool:
    """Top groups and sources have a line for each key; a brake or a claim stands on one line."""
    return not begin or begin == "sources."


def _entry(part: Schema, path: str, answers: Answers, indent: str) -> Iterator[str]:
    key = path.rsplit(".", 1)[-1]
    if "array" in part.get("type", "") and part["items"].get("type") == "object":
        yield from _line(f"{indent}{key}:", part["description"])
        for item in answers.given.get(path, ()):
            yield f"{indent}  - {drawn(item)}"
        if path not in answers.given:
            yield from _line(
                f"{indent}  #- {_blank(part['items'])}", _words(part["items"], path, answers)
            )
        return
    given = _given(path, answers)
    if given is not None:
        words = str(part["description"])
        words += ASSUMED if path in answers.assumed else ""
        yield from _line(f"{indent}{key}: {drawn(given)}", words)
    else:
        blank = f" {_blank(part)}" if "object" in part.get("type", "") else ""
        yield from _line(f"{indent}#{key}:{blank}", _words(part, path, answers))


def _given(path: str, answers: Answers) -> Any:
    """The value given for a key; a mapping of those given below it."""
    if path in answers.given:
        return answers.given[path]
    begin = f"{path}."
    below = {
        key.removeprefix(begin): value
        for key, value in answers.given.items()
        if key.startswith(begin)
    }
    return below or None


def _blank(part: Schema) -> str:
    """`{kind: , rotor: }`: a mapping on one line, to be filled in."""
    keys = part.get("required") or list(part["properties"])[:2]
    return "{" + ", ".join(f"{key}: " for key in keys) + "}"


def _levels(part: Schema, answers: Answers, indent: str) -> Iterator[str]:
    yield from _line(f"{indent}levels:", part["description"])
    if "assist.levels" in answers.given:
        for level in answers.given["assist.levels"]:
            yield f"{indent}  - {drawn(level)}"
        yield f"{indent}  {ANOTHER}"
        return
    key = LEVEL_KINDS[answers.level_kind]
    limit = part["items"]["properties"][key]
    for number in range(1, answers.levels + 1):
        words = _words(limit, f"assist.levels.{key}", answers) if number == 1 else ""
        yield from _line(f'{indent}  #- {{name: "{number}", {key}: }}', words)
    yield f"{indent}  {ANOTHER}"


def _words(part: Schema, path: str, answers: Answers) -> str:
    """The comment of a key: what it is, and an example where no choice of words is given."""
    words = str(part["description"])
    if part.get("type") == "boolean":
        return f"{words} true or false."
    if "object" in part.get("type", ""):
        for key, below in part["properties"].items():
            if "enum" in below:
                words += f" {key}: {' | '.join(below['enum'])}."
    if "enum" in part or "enum" in part.get("items", {}):
        return words
    example = _example(part, path, answers)
    return f"{words} Such as {example if part.get('format') == 'date' else drawn(example)}"


def _example(part: Schema, path: str, answers: Answers) -> Any:
    """The example that suits the bike: its units, its gears."""
    examples = part["examples"]
    if isinstance(examples[0], dict):
        parts = part["properties"]
        return {key: _example(parts[key], f"{path}.{key}", answers) for key in examples[0]}
    if path == "drivetrain.cogs" and answers.shifting != "derailleur":
        return examples[-1]
    foreign = METRIC if answers.units == "us" else US
    return next((each for each in examples if _symbol(each) not in foreign), examples[0])


def _symbol(example: Any) -> str:
    """The unit at the end of an example; empty when there is none."""
    last = example.split(" ")[-1] if isinstance(example, str) else ""
    return last if last in BY_SYMBOL else ""


def _line(code: str, words: str) -> Iterator[str]:
    """A line with its comment, which goes on below where it is long."""
    if not words:
        yield code
        return
    start = max(COLUMN, len(code) + 2)
    room = WIDTH - COLUMN - 2
    first, *rest = textwrap.wrap(words, max(20, WIDTH - start - 2)) or [""]
    yield f"{code.ljust(start)}# {first}"
    for more in textwrap.wrap(" ".join(rest), room):
        yield f"{' ' * COLUMN}# {more}"
