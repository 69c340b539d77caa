"""The wording of the report on lists."""

from collections.abc import Sequence

from generator.pages.law import SHORT_WORDS
from generator.publish.impact.changes.lists import LAW_PREFIX
from generator.publish.impact.model import Impact, MembershipChange
from generator.publish.impact.report import wording

MOST_LAWS = 6
"""Legal categories named for an added or removed bike."""


def describe_memberships(impact: Impact) -> list[str]:
    """One line for each entry to or exit from a list; all legal categories of an added or removed bike are one line."""
    whole = {change.slug for change in impact.bikes if change.what in ("added", "removed")}
    found: list[str] = []
    laws: dict[tuple[str, str], list[str]] = {}
    for each in impact.lists:
        if each.list.startswith(LAW_PREFIX) and len(each.members) == 1 and each.members[0] in whole:
            laws.setdefault((each.members[0], VERBS[each.what][0]), []).append(each.list)
        else:
            found.append(describe_membership(each))
    return [
        *found,
        *(
            f"{' '.join(who)}: {_describe_laws(names, impact.region)}"
            for who, names in laws.items()
        ),
    ]


def _describe_laws(names: Sequence[str], region: str) -> str:
    """Such as `Law: European Union EPAC; California Class 1; and 17 more`: own region first, rules without a category last."""

    def sort_key(name: str) -> tuple[bool, bool]:
        return name.endswith(NO_CATEGORY), not name.startswith(f"{LAW_PREFIX}{region},")

    listed, more = wording.take_first(sorted(names, key=sort_key), MOST_LAWS)
    short = []
    for name in listed:
        place, _, category = name.removeprefix(LAW_PREFIX).rpartition(": ")
        short.append(f"{place.partition(',')[0]} {category}")
    return f"Law: {'; '.join([*short, *([more] if more else [])])}"


NO_CATEGORY = tuple(f": {words}" for words in SHORT_WORDS.values())
VERBS = {"entered": ("enters", "enter"), "left": ("leaves", "leave")}


def describe_membership(each: MembershipChange) -> str:
    """Such as `pellimor-fenno enters: Use: For the city`."""
    who = " and ".join(each.members)
    return f"{who} {VERBS[each.what][len(each.members) > 1]}: {each.list}"
