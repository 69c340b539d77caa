"""The report's words on lists."""

from collections.abc import Sequence

from generator.pages.law import SHORT
from generator.publish.impact import wording
from generator.publish.impact.lists import LAW
from generator.publish.impact.model import Impact, Membership

MOST_LAWS = 6
"""Legal categories told of a bike that comes or goes."""


def memberships(impact: Impact) -> list[str]:
    """Who enters and leaves which list; all legal categories of a bike that comes or goes are one line."""
    whole = {change.slug for change in impact.bikes if change.what in ("added", "removed")}
    found: list[str] = []
    laws: dict[tuple[str, str], list[str]] = {}
    for each in impact.lists:
        if each.list.startswith(LAW) and len(each.members) == 1 and each.members[0] in whole:
            laws.setdefault((each.members[0], VERBS[each.what][0]), []).append(each.list)
        else:
            found.append(membership(each))
    return [
        *found,
        *(f"{' '.join(who)}: {_laws(names, impact.region)}" for who, names in laws.items()),
    ]


def _laws(names: Sequence[str], region: str) -> str:
    """Such as `Law: European Union EPAC; California Class 1; and 17 more`, the own region first, what says least last."""

    def order(name: str) -> tuple[bool, bool]:
        return name.endswith(NO_CATEGORY), not name.startswith(f"{LAW}{region},")

    told, more = wording.first(sorted(names, key=order), MOST_LAWS)
    short = []
    for name in told:
        place, _, category = name.removeprefix(LAW).rpartition(": ")
        short.append(f"{place.partition(',')[0]} {category}")
    return f"Law: {'; '.join([*short, *([more] if more else [])])}"


NO_CATEGORY = tuple(f": {words}" for words in SHORT.values())
VERBS = {"entered": ("enters", "enter"), "left": ("leaves", "leave")}


def membership(each: Membership) -> str:
    who = " and ".join(each.members)
    return f"{who} {VERBS[each.what][len(each.members) > 1]}: {each.list}"
