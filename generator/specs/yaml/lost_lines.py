"""Lines of a spec file that YAML does not see, or sees in the wrong place; found with the schema's help.

* find_lost_values       filled-in lines that still begin with #
* find_line_at_margin    a line that belongs in the group above it, but begins at the margin
"""

import re
from collections.abc import Iterator
from typing import Any

from generator.specs.problems import Problem

Schema = dict[str, Any]
BLANK = re.compile(r"( *)#(?:- *\{ *)?([a-z_]+): +([^#\s].*)")
"""A filled-in line that is still a comment: `#key: value` or `#- {key: value …`, no space after the #."""
UNFILLED = re.compile(r":\s*[,}]")
COMMENT = re.compile(r"\s#")
KEY = re.compile(r"([A-Za-z_][\w-]*):(?:\s|$)")


def find_lost_values(text: str, schema: Schema, file: str) -> Iterator[Problem]:
    """A warning for each line whose value is lost because the line begins with #."""
    known = set(_list_known_keys(schema))
    for number, line in enumerate(text.splitlines(), 1):
        match = BLANK.match(line)
        if match is None or match[2] not in known:
            continue
        if UNFILLED.search(f": {COMMENT.split(match[3])[0]}"):
            continue
        what = "the line holds a value but still begins with #, so it is not read"
        mend = "Take the # away, or delete the line"
        yield Problem(file, number, len(match[1]) + 1, what, mend, "warning")


def find_line_at_margin(text: str, schema: Schema, file: str) -> Problem | None:
    """The problem of the first line at the margin whose key is known only in the group above it."""
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


def _list_known_keys(schema: Schema) -> Iterator[str]:
    """Every key that a schema knows, at any depth."""
    for key, below in schema.get("properties", {}).items():
        yield key
        yield from _list_known_keys(below)
    for below in (schema.get("items"), schema.get("additionalProperties")):
        if isinstance(below, dict):
            yield from _list_known_keys(below)
