"""Are the guides up to date? Each states when it was last checked against the data."""

from collections.abc import Iterator

from generator.content.model import Content, Text
from generator.specs.checks.freshness import GRACE, ReferenceDay
from generator.specs.problems import Problem


def find_old_guides(content: Content, today: ReferenceDay | None) -> list[Problem]:
    """A warning for each guide whose last check is too old or in the future; none when the day is not known."""
    if today is None:
        return []
    limit = content.settings.stale_guide_days
    return [problem for guide in content.guides for problem in _check_guide(guide, limit, today)]


def _check_guide(guide: Text, limit: int, today: ReferenceDay) -> Iterator[Problem]:
    if guide.checked is None:
        return
    days = (today.on - guide.checked).days
    if days > limit:
        yield Problem(
            guide.file,
            guide.checked_line,
            0,
            f"the guide was checked against the figures on {guide.checked}, {days} days before {today.on}; this "
            f"publication calls a guide old after {limit}",
            "Read it beside the figures, mend what is no longer so, and write down the day",
            "warning",
        )
    elif guide.checked > today.latest:
        about = f"today is {today.on}" if today.exact else f"'updated' is {today.on}"
        grace = "" if today.exact else f" by more than {GRACE.days} days"
        yield Problem(
            guide.file,
            guide.checked_line,
            0,
            f"the guide is said to be checked on {guide.checked}, which is ahead{grace}: {about}",
            "Check year and month",
            "warning",
        )
