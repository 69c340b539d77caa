"""Words that are put together in many places.

* format_count         a count with its noun
* listed         names in a row
* day_in_words   a date as it is read
"""

from collections.abc import Sequence
from datetime import date


def format_count(count: int, one: str, many: str = "") -> str:
    """`1 bike`, `1,200 bikes`; `many` where it is not `one` with an s."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def listed(names: Sequence[str]) -> str:
    """`A`, `A and B`, `A, B and C`."""
    return " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else "".join(names)


def day_in_words(day: date) -> str:
    """`4 October 2026`."""
    return f"{day.day} {day:%B} {day.year}"
