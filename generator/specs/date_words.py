"""Days as people write them, and how they are written here.

* date_advice    what would be right for words that are not a date
"""

import re
from collections.abc import Iterator

from generator.specs.schema.fits import is_day


def date_advice(words: str) -> str:
    """Such as `Write year-month-day: 2026-10-04` for `4.10.2026`; both readings of `10/4/2026`."""
    days = [f"{year}-{month:0>2}-{day:0>2}" for year, month, day in _orders(words.strip())]
    known = list(dict.fromkeys(each for each in days if is_day(each)))
    if not known:
        return "Write year-month-day, such as 2026-10-04"
    return f"Write year-month-day: {' or '.join(known)}"


def _orders(words: str) -> Iterator[tuple[str, str, str]]:
    """Year, month and day that words may mean: year first, day first, month first."""
    if match := re.fullmatch(r"(\d{4})[-./ ](\d{1,2})[-./ ](\d{1,2})", words):
        yield match[1], match[2], match[3]
    if match := re.fullmatch(r"(\d{1,2})[-./ ](\d{1,2})[-./ ](\d{4})", words):
        yield match[3], match[2], match[1]
        if "." not in words:
            yield match[3], match[1], match[2]
