"""Names that become part of an address.

* plain     small letters, digits and single hyphens of any words
"""

import re
import unicodedata

_BY_HAND = str.maketrans(
    {"ß": "ss", "æ": "ae", "ø": "o", "œ": "oe", "đ": "d", "ð": "d", "ł": "l", "þ": "th"}
)
"""Letters that Unicode takes for whole ones."""


def plain(words: str, longest: int) -> str:
    """Accents fall off their letters, whichever way the file system stores them; empty when nothing is left."""
    letters = unicodedata.normalize("NFKD", words.lower().translate(_BY_HAND))
    bare = letters.encode("ascii", "ignore").decode()
    return re.sub("[^a-z0-9]+", "-", bare).strip("-")[:longest].strip("-")
