"""What an unquoted word of YAML means, by rules close to the core schema of YAML 1.2.

Only `true` and `false` are booleans, so `no`, `on` and `yes` stay text; `12:30`, `014`, `0x1F`
and `1_000` stay text; `1e3` is a number; `2026-10-04` is a date.

Source: YAML Ain't Markup Language, version 1.2.2, section 10.3.2 (the core schema).
Left out on purpose: octal, hexadecimal and leading zeros (text), `.inf` and `.nan` (refused).
"""

import math
import re
from datetime import date

NUMBER = re.compile(r"[-+]?(?:(?:0|[1-9][0-9]*)(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")
INTEGER = re.compile(r"[-+]?(?:0|[1-9][0-9]*)")
DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
NOT_FINITE = re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")
WORDS: dict[str, bool | None] = {
    "": None, "~": None, "null": None, "Null": None, "NULL": None,
    "true": True, "True": True, "TRUE": True,
    "false": False, "False": False, "FALSE": False,
}  # fmt: skip
LONGEST_NUMBER = 40
YEARS = range(1900, 2200)
"""Years that a date may lie in: far enough from the ends of the calendar to add or subtract months."""


class ScalarError(ValueError):
    """An unquoted word that has no value: what is wrong and what would be right."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(what)
        self.what = what
        self.mend = mend


def parse_scalar(text: str) -> str | int | float | bool | date | None:
    """The value of an unquoted scalar.

    Raises ScalarError for numbers that are not finite or too long, and for days that do not exist.
    """
    if text in WORDS:
        return WORDS[text]
    if text[0] not in "0123456789+-.":
        return text
    if DATE.fullmatch(text):
        return parse_date(text)
    if NOT_FINITE.fullmatch(text):
        raise ScalarError(f"'{text}' is not a finite number", "Write the number, or leave it out")
    if not NUMBER.fullmatch(text):
        return text
    if len(text) > LONGEST_NUMBER:
        raise ScalarError(
            f"this number has {len(text)} characters",
            "Write it shorter, or in quotes if it is text",
        )
    if INTEGER.fullmatch(text):
        return int(text)
    number = float(text)
    if not math.isfinite(number):
        raise ScalarError(f"'{text}' is too large a number", "Write the number with its real size")
    return number


def parse_date(text: str) -> date:
    """The date of `YYYY-MM-DD`. Raises ScalarError when there is no such day."""
    mend = "Write year-month-day, such as 2026-10-04"
    try:
        found = date.fromisoformat(text)
    except ValueError:
        raise ScalarError(f"'{text}' is not a day of the calendar", mend) from None
    if found.year not in YEARS:
        what = f"'{text}' lies outside the years {YEARS[0]} to {YEARS[-1]}"
        raise ScalarError(what, mend)
    return found


def is_day(text: str) -> bool:
    """Is it `YYYY-MM-DD`, and a day of the calendar that anything here may be dated by?"""
    try:
        return DATE.fullmatch(text) is not None and bool(parse_date(text))
    except ScalarError:
        return False
