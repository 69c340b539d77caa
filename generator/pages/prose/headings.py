"""Headings of a text, by which it is found."""

import re
from html import unescape

_HEADING = re.compile(r"<h[23][^>]*>(.*?)</h[23]>", re.DOTALL)
_TAG = re.compile(r"<[^>]+>")


def headings(html: str) -> tuple[str, ...]:
    """Of the second and third rank, as plain text."""
    return tuple(unescape(_TAG.sub("", found)).strip() for found in _HEADING.findall(html))
