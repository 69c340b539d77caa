"""Splits a Markdown file into its front matter and its body.

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
from generator.specs.yaml.located import LocatedMapping

_FENCE = re.compile(r"-{3}[ \t]*\n")
_CLOSE = re.compile(r"^-{3}[ \t]*$", re.MULTILINE)


@dataclass(frozen=True)
class MarkdownParts:
    """Front matter and body of a Markdown file."""

    head: LocatedMapping
    body: str
    body_line: int
    """Line of the file on which the body begins."""


def split_markdown(text: str, file: str) -> tuple[MarkdownParts | None, list[Problem]]:
    """Split a Markdown file, or say what is wrong with its front matter."""
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
    return MarkdownParts(head, stripped.rstrip() + "\n", body_line), problems
