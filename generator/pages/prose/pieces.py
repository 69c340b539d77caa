"""Marks that the words of live text leave in the Markdown, and the pieces of HTML that they stand for."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from markupsafe import Markup

MARK = re.compile("\ue000(\\d{1,6})\ue001")
"""A mark, with the number of its piece."""


@dataclass(frozen=True)
class RenderedWord:
    """The HTML and plain text that a mark stands for."""

    html: Markup
    plain: str
    """Text without links and elements, for ids of headings, attributes and code."""
    unlinked: Markup
    """HTML without its link, for use inside another link."""
    block: bool = False
    """Whether it is a block of its own, not part of a paragraph."""
    term: str = ""
    """Slug of the glossary term that it links to."""
    line: int = 0
    """Line of the word in the body, from 1."""


LONGEST_FAULT = 300
"""Most characters in a message; a text may hold a name of any length."""


class WordUseError(Exception):
    """A wrong use of a word; becomes a fault on its line."""

    def __init__(self, what: str, mend: str, fragment: str = "") -> None:
        super().__init__(what)
        self.what = what if len(what) <= LONGEST_FAULT else f"{what[:LONGEST_FAULT]}…"
        self.mend, self.fragment = mend, fragment[:LONGEST_FAULT]


def check_texts(**given: object) -> None:
    """Raise WrongError unless all values are strings."""
    for name, value in given.items():
        if not isinstance(value, str):
            raise WordUseError(
                f"the {name} is {_format_value(value)}, not a text",
                "Put it between quotation marks",
            )


def suggest_name(name: str, known: Iterable[str], where: str) -> str:
    """Advice on an unknown name: the nearest known one, or where to look."""
    close = get_close_matches(name[:80], list(known), n=1, cutoff=0.5)
    return f"Did you mean {close[0]!r}" if close else f"See {where} for those that exist"


def _format_value(value: object) -> str:
    try:
        return f"{value!r:.60}"
    except (ValueError, RecursionError):  # a number or a nest too large to be written
        return f"a {type(value).__name__}"
