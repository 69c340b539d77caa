"""Leaves out worked examples of glossary terms whose bike is gone, so that a term outlives its example bikes.

A guide is about its bikes and must be mended when one goes. In a term, an example is a paragraph that can be dropped.
"""

import re
from collections.abc import Callable

from generator.pages.prose.language import TextFault

_BIKE_WORDS = re.compile(
    r"""\b(?:figure|bike)\(\s*["']([^"']+)["']|\b(?:chart|diagram)\(\s*["'][^"']+["']\s*,\s*["']([^"']+)["']|\btable\(\s*\[([^\]]*)\]"""
)
_QUOTED = re.compile(r"""["']([^"']+)["']""")
_CURRENCY = re.compile(r"[A-Z]{3}")


def find_named_bikes(paragraph: str) -> list[str]:
    """Slugs of the bikes named by live text in a paragraph."""
    found = []
    for one, drawn, listed in _BIKE_WORDS.findall(paragraph):
        found += _QUOTED.findall(listed) if listed else [one or drawn]
    return [slug for slug in found if not _CURRENCY.fullmatch(slug)]


def remove_lost_bikes(body: str, known: Callable[[str], bool]) -> tuple[str, list[TextFault]]:
    """The body without paragraphs that name a bike that is not `known`, and a fault for each of them.

    Line numbers stay. A paragraph with a loop or condition is kept, and reported where it fails.
    """
    lines = body.split("\n")
    faults = []
    start = 0
    for end in range(len(lines) + 1):
        if end < len(lines) and lines[end].strip():
            continue
        paragraph = "\n".join(lines[start:end])
        lost = [slug for slug in find_named_bikes(paragraph) if not known(slug)]
        if lost and "{%" not in paragraph:
            at = next(number for number in range(start, end) if lost[0] in lines[number])
            faults.append(
                TextFault(
                    at + 1,
                    f"the example is left out: there is no bike {lost[0]!r}",
                    "Name a bike of yours, or delete the paragraph",
                    lost[0],
                )
            )
            lines[start:end] = [""] * (end - start)
        start = end + 1
    return "\n".join(lines), faults
