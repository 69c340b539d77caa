"""What the words of live text leave behind: marks in the Markdown, and what each stands for."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from markupsafe import Markup

MARK = re.compile("\ue000(\\d{1,6})\ue001")
"""A mark that a word has left."""


@dataclass(frozen=True)
class Piece:
    """What a mark stands for."""

    html: Markup
    plain: str
    """The same without links and elements, for headings' ids, attributes and code."""
    unlinked: Markup
    """The same without its link, for use inside another link."""
    block: bool = False
    """Stands alone, not within a paragraph."""
    term: str = ""
    """Slug of the glossary term that it links to."""
    line: int = 0
    """Of the body, on which the word stands."""


LONGEST_FAULT = 300
"""Signs of what is said of a word; a text may hold a name of any length, in a loop."""


class WrongError(Exception):
    """A word used wrongly; becomes a fault on its line."""

    def __init__(self, what: str, mend: str, fragment: str = "") -> None:
        super().__init__(what)
        self.what = what if len(what) <= LONGEST_FAULT else f"{what[:LONGEST_FAULT]}…"
        self.mend, self.fragment = mend, fragment[:LONGEST_FAULT]


def texts(**given: object) -> None:
    """Raises WrongError unless all are texts."""
    for name, value in given.items():
        if not isinstance(value, str):
            raise WrongError(
                f"the {name} is {_shown(value)}, not a text", "Put it between quotation marks"
            )


def nearest(name: str, known: Iterable[str], where: str) -> str:
    """Advice on a name that is not known."""
    close = get_close_matches(name[:80], list(known), n=1, cutoff=0.5)
    return f"Did you mean {close[0]!r}" if close else f"See {where} for those that exist"


def _shown(value: object) -> str:
    try:
        return f"{value!r:.60}"
    except (ValueError, RecursionError):  # a number or a nest too large to be written
        return f"a {type(value).__name__}"
