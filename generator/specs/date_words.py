"""Dates as people write them.

* date_advice    what would be right for a text that is not a date
"""

import re
from collections.abc import Iterator

from generator.specs.yaml.scalars import is_day


def date_advice(words: str) -> str:
    """Advice on a text that is not a date: `Write year-month-day: 2026-10-04`; both readings of `10/4/2026`."""
    days = [f"{year}-{month:0>2}-{day:0>2}" for year, month, day in _read_orders(words.strip())]
    known = list(dict.fromkeys(each for each in days if is_day(each)))
    if not known:
        return "Write year-month-day, such as 2026-10-04"
    return f"Write year-month-day: {' or '.join(known)}"


def _read_orders(words: str) -> Iterator[tuple[str, str, str]]:
    """Readings of a text as year, month and day: year first, day first, month first."""
    if match := re.fullmatch(r"(\d{4})[-./ ](\d{1,2})[-./ ](\d{1,2})", words):
        yield match[1], match[2], match[3]
    if match := re.fullmatch(r"(\d{1,2})[-./ ](\d{1,2})[-./ ](\d{4})", words):
        yield match[3], match[2], match[1]
        if "." not in words:
            yield match[3], match[1], match[2]
