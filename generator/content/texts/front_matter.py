"""A Markdown file taken apart: its front matter and its body.

---
title: Mid motor or hub motor
summary: Where the push comes in, and what that changes.
---
The body begins here.
"""

import re
from dataclasses import dataclass

from generator.specs.problems import Problem
from generator.specs.yaml.files import parse_mapping
from generator.specs.yaml.located import Marked

_FENCE = re.compile(r"-{3}[ \t]*\n")
_CLOSE = re.compile(r"^-{3}[ \t]*$", re.MULTILINE)


@dataclass(frozen=True)
class Parted:
    """Front matter with its places, and the body with the line it begins on."""

    head: Marked
    body: str
    body_line: int


def parted(text: str, file: str) -> tuple[Parted | None, list[Problem]]:
    """The two parts of a Markdown file."""
    opening = _FENCE.match(text)
    if opening is None:
        what = "the file does not begin with front matter"
        mend = "Begin it with a line ---, then title: and summary:, then another line ---"
        return None, [Problem(file, 1, 1, what, mend)]
    closing = _CLOSE.search(text, opening.end())
    if closing is None:
        what = "the front matter is not closed"
        return None, [Problem(file, 1, 1, what, "Put a line --- after its last line")]
    head, problems = parse_mapping(text[opening.end() : closing.start()], file, 2)
    if head is None:
        return None, problems
    body = text[closing.end() :].removeprefix("\n")
    body_line = text.count("\n", 0, closing.end()) + 2
    stripped = body.lstrip("\n")
    body_line += len(body) - len(stripped)
    return Parted(head, stripped.rstrip() + "\n", body_line), problems
