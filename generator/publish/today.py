"""Chooses the day by which dates are judged. It is never read from the clock, so that two runs give the same result.

* choose_day     the day named for the run, else the day of the publication's last update
"""

from collections.abc import Mapping
from datetime import UTC, date, datetime

from generator.specs.checks.freshness import ReferenceDay
from generator.specs.problems import Problem, ProblemsFound

EPOCH = "SOURCE_DATE_EPOCH"
"""Environment variable with seconds since 1970, as specified by
https://reproducible-builds.org/specs/source-date-epoch/"""


def choose_day(
    named: date | None, environment: Mapping[str, str], updated: date | None
) -> ReferenceDay | None:
    """The day by which dates are judged: `named`, else SOURCE_DATE_EPOCH, else `updated` of the publication, else None.

    Raises ProblemsFound if SOURCE_DATE_EPOCH is not a time.
    """
    if named is not None:
        return ReferenceDay(named, exact=True)
    if environment.get(EPOCH):
        return ReferenceDay(_parse_epoch(environment[EPOCH]), exact=True)
    return ReferenceDay(updated, exact=False) if updated else None


def _parse_epoch(words: str) -> date:
    """The day in UTC of so many seconds since 1970."""
    try:
        return datetime.fromtimestamp(int(words), UTC).date()
    except (ValueError, OverflowError, OSError):
        what = f"'{words[:40]}' is not a number of seconds since 1970"
        raise ProblemsFound([Problem(EPOCH, 0, 0, what, "Unset the variable")]) from None
