"""The headings of a text, for the search index."""

import re
from html import unescape

_HEADING = re.compile(r"<h[23][^>]*>(.*?)</h[23]>", re.DOTALL)
_TAG = re.compile(r"<[^>]+>")


def find_headings(html: str) -> tuple[str, ...]:
    """Headings of levels 2 and 3 as plain text."""
    return tuple(unescape(_TAG.sub("", found)).strip() for found in _HEADING.findall(html))
