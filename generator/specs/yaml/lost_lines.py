"""Lines of a spec file that YAML does not see, or sees in the wrong place; told with the schema's help.

* lost_values    lines to fill in that hold a value, and still begin with #
* at_margin      a line that belongs in the group above it, and begins at the margin
"""

import re
from collections.abc import Iterator
from typing import Any

from generator.specs.problems import Problem

Schema = dict[str, Any]
BLANK = re.compile(r"( *)#(?:- *\{ *)?([a-z_]+): +([^#\s].*)")
"""A line to fill in, with a value: `#key: value` or `#- {key: value …`, no space after the #."""
UNFILLED = re.compile(r":\s*[,}]")
COMMENT = re.compile(r"\s#")
KEY = re.compile(r"([A-Za-z_][\w-]*):(?:\s|$)")


def lost_values(text: str, schema: Schema, file: str) -> Iterator[Problem]:
    """A warning for each line that would say something but for the # at its beginning."""
    known = set(_keys(schema))
    for number, line in enumerate(text.splitlines(), 1):
        match = BLANK.match(line)
        if match is None or match[2] not in known:
            continue
        if UNFILLED.search(f": {COMMENT.split(match[3])[0]}"):
            continue
        what = "the line holds a value but still begins with #, so it is not read"
        mend = "Take the # away, or delete the line"
        yield Problem(file, number, len(match[1]) + 1, what, mend, "warning")


def at_margin(text: str, schema: Schema, file: str) -> Problem | None:
    """The first line at the margin whose key only the group above it knows."""
    tops, group = schema.get("properties", {}), ""
    for number, line in enumerate(text.splitlines(), 1):
        match = KEY.match(line)
        if match is None:
            continue
        if match[1] in tops:
            group = match[1]
        elif match[1] in tops.get(group, {}).get("properties", {}):
            what = f"'{match[1]}' belongs in {group}, but begins at the margin"
            return Problem(file, number, 1, what, "Put two spaces before it")
    return None


def _keys(schema: Schema) -> Iterator[str]:
    """Every key that a schema knows, at any depth."""
    for key, below in schema.get("properties", {}).items():
        yield key
        yield from _keys(below)
    for below in (schema.get("items"), schema.get("additionalProperties")):
        if isinstance(below, dict):
            yield from _keys(below)
