"""Names that become part of an address.

* make_slug    turns any text into lower-case letters, digits and single hyphens
"""

import re
import unicodedata

_BY_HAND = str.maketrans(
    {"ß": "ss", "æ": "ae", "ø": "o", "œ": "oe", "đ": "d", "ð": "d", "ł": "l", "þ": "th"}
)
"""Letters that Unicode does not split into a letter and an accent."""


def make_slug(words: str, longest: int) -> str:
    """A text as lower-case letters without accents, digits and single hyphens; empty when nothing is left."""
    letters = unicodedata.normalize("NFKD", words.lower().translate(_BY_HAND))
    bare = letters.encode("ascii", "ignore").decode()
    return re.sub("[^a-z0-9]+", "-", bare).strip("-")[:longest].strip("-")
