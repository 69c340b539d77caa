"""Which day is it for a check? Never the clock's: two runs over the same files say the same.

* today     the day named for the run, else the publication's own
"""

from collections.abc import Mapping
from datetime import UTC, date, datetime

from generator.specs.checks.freshness import Day
from generator.specs.problems import Problem, ProblemsFound

EPOCH = "SOURCE_DATE_EPOCH"
"""Seconds since 1970, as the specification of reproducible builds has it:
https://reproducible-builds.org/specs/source-date-epoch/"""


def today(named: date | None, environment: Mapping[str, str], updated: date | None) -> Day | None:
    """The day to judge by: `named`, else SOURCE_DATE_EPOCH, else when the publication was last gone
    through; None when nobody says.

    Raises ProblemsFound for a SOURCE_DATE_EPOCH that is no time.
    """
    if named is not None:
        return Day(named, exact=True)
    if environment.get(EPOCH):
        return Day(_of_epoch(environment[EPOCH]), exact=True)
    return Day(updated, exact=False) if updated else None


def _of_epoch(words: str) -> date:
    try:
        return datetime.fromtimestamp(int(words), UTC).date()
    except (ValueError, OverflowError, OSError):
        what = f"'{words[:40]}' is not a number of seconds since 1970"
        raise ProblemsFound([Problem(EPOCH, 0, 0, what, "Unset the variable")]) from None
