"""Worked examples of the glossary whose bike is gone: left out, so that a term outlives the bikes it was shown on.

A guide is about its bikes and must be mended when one goes. A term is not: its example is a paragraph that can fall.
"""

import re
from collections.abc import Callable

from generator.pages.prose.language import Fault

_NAMED = re.compile(
    r"""\b(?:figure|bike)\(\s*["']([^"']+)["']|\b(?:chart|diagram)\(\s*["'][^"']+["']\s*,\s*["']([^"']+)["']|\btable\(\s*\[([^\]]*)\]"""
)
_QUOTED = re.compile(r"""["']([^"']+)["']""")
_CURRENCY = re.compile(r"[A-Z]{3}")


def bikes_named(paragraph: str) -> list[str]:
    """Slugs of the bikes that a paragraph's live text names."""
    found = []
    for one, drawn, listed in _NAMED.findall(paragraph):
        found += _QUOTED.findall(listed) if listed else [one or drawn]
    return [slug for slug in found if not _CURRENCY.fullmatch(slug)]


def without_lost_bikes(body: str, known: Callable[[str], bool]) -> tuple[str, list[Fault]]:
    """The body with paragraphs blanked out that name a bike which is not `known`, and a word on each.

    Lines keep their numbers. A paragraph with a loop or condition stays as it is, to be faulted where it fails.
    """
    lines = body.split("\n")
    faults = []
    start = 0
    for end in range(len(lines) + 1):
        if end < len(lines) and lines[end].strip():
            continue
        paragraph = "\n".join(lines[start:end])
        lost = [slug for slug in bikes_named(paragraph) if not known(slug)]
        if lost and "{%" not in paragraph:
            at = next(number for number in range(start, end) if lost[0] in lines[number])
            faults.append(
                Fault(
                    at + 1,
                    f"the example is left out: there is no bike {lost[0]!r}",
                    "Name a bike of yours, or delete the paragraph",
                    lost[0],
                )
            )
            lines[start:end] = [""] * (end - start)
        start = end + 1
    return "\n".join(lines), faults
