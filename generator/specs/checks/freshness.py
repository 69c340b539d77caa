"""Is a spec file up to date, on a given day and by a publication's settings?

* Day          the day to judge by, and how it was come by
* Rules        what the publication calls old, and its currency
* freshness    every warning and note about dates, sources and currency
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from generator.specs.checks.facts import Facts
from generator.specs.problems import Problem
from generator.specs.stated import day
from generator.specs.yaml.located import Keys, Marked

GRACE = timedelta(days=31)
"""How far a date may lie after the publication's own, which is set from time to time only; common
practice, no source."""
YEARS_AHEAD = 1
"""Makers sell next year's model; common practice, no source."""
DATED = ("date", "seen")
"""Keys of days that have passed when they are written down."""
OUR_OWN = "own test"


@dataclass(frozen=True)
class Day:
    """The day to judge by."""

    on: date
    exact: bool
    """It was named for this run; else it is the day when the publication was last gone through."""

    @property
    def latest(self) -> date:
        return self.on if self.exact else self.on + GRACE


@dataclass(frozen=True)
class Rules:
    """What a publication calls old, and its currency."""

    price_days: int
    source_days: int
    currency: str


def freshness(marked: Marked, rules: Rules, today: Day | None) -> list[Problem]:
    """Warnings about old and impossible days, sources and currency; no day, nothing about days.

    A withdrawn bike's price and sheet are history: nobody is asked to look them up again.
    """
    facts = Facts(marked)
    if today is not None:
        _impossible(facts, today)
        if facts.word("status") != "withdrawn":
            _old_price(facts, rules, today.on)
            _old_sources(facts, rules, today.on)
    _sources(facts)
    _currency(facts, rules)
    return facts.problems


def _impossible(facts: Facts, today: Day) -> None:
    for keys, on in _days(facts.marked):
        if on <= today.latest:
            continue
        if today.exact:
            facts.warn(keys, f"{on} has not come yet: today is {today.on}", "Check year and month")
        else:
            what = f"{on} is more than {GRACE.days} days after {today.on}, the 'updated' of the"
            mend = "Check year and month; if it is right, set 'updated' in content/site.yaml"
            facts.warn(keys, f"{what} publication", mend)
    year = facts.one("year")
    if isinstance(year, int) and year > today.latest.year + YEARS_AHEAD:
        mend = "Write the year of the model that the values are for"
        facts.warn(("year",), f"the model year {year} is far ahead of {today.on}", mend)


def _days(marked: Marked) -> Iterator[tuple[Keys, date]]:
    for keys in marked.texts:
        if keys and keys[-1] in DATED:
            on = _day(_at(marked.value, keys))
            if on is not None:
                yield keys, on


def _at(value: Any, keys: Keys) -> Any:
    for key in keys:
        value = value[key]
    return value


def _old_price(facts: Facts, rules: Rules, today: date) -> None:
    on = _day(facts.one("price", "date"))
    if on is None or (today - on).days <= rules.price_days:
        return
    facts.warn(
        ("price", "date"),
        f"the price was seen on {on}, {(today - on).days} days before {today}; this publication"
        f" calls a price old after {rules.price_days}",
        "Look it up again, and write down the price and the day",
    )


def _old_sources(facts: Facts, rules: Rules, today: date) -> None:
    for name in facts.group("sources"):
        on = _day(facts.one("sources", name, "seen"))
        own = facts.word("sources", name, "kind") == OUR_OWN
        if own or on is None or (today - on).days <= rules.source_days:
            continue
        facts.warn(
            ("sources", name, "seen"),
            f"the source '{name}' was read on {on}, {(today - on).days} days before {today}; this"
            f" publication calls a source old after {rules.source_days}",
            "Read it again, mend what has changed, and write down the day",
        )


def _sources(facts: Facts) -> None:
    """A source says when it was read; the first one is not our own test; each is used."""
    names = list(facts.group("sources"))
    for name in names:
        place = ("sources", name)
        unseen = isinstance(facts.one(*place), dict) and facts.one(*place, "seen") is None
        if unseen and facts.word(*place, "kind") not in (OUR_OWN, ""):
            what = f"the source '{name}' does not say when it was read"
            facts.warn(place, what, "Add the day on which you read it, such as 'seen: 2026-10-04'")
    if len(names) > 1 and facts.word("sources", names[0], "kind") == OUR_OWN:
        what = (
            f"the first source, '{names[0]}', is your own test, so every value counts as measured"
        )
        mend = f"Put '{names[1]}' first, and name what you measured in stated_by"
        facts.warn(("sources", names[0]), what, mend)
        return
    quoted = {each for each in facts.group("stated_by").values() if isinstance(each, str)}
    for name in names[1:]:
        kind = facts.word("sources", name, "kind")
        if name not in quoted and kind not in (OUR_OWN, "certificate", ""):
            what = f"no value is said to be from the source '{name}'"
            mend = f"Add a line to stated_by, such as 'mass: {name}', or delete the source"
            facts.warn(("sources", name), what, mend)


def _currency(facts: Facts, rules: Rules) -> None:
    words = facts.word("price", "list")
    currency = words[-3:]
    if words and currency.isalpha() and currency.isupper() and currency != rules.currency:
        what = f"the price is in {currency}, the publication's currency is {rules.currency}"
        mend = "Leave it if the bike is sold so: prices are never converted"
        facts.note(("price", "list"), what, mend)


def _day(value: Any) -> date | None:
    try:
        found = day(value)
    except ValueError:
        return None
    return found if isinstance(found, date) else None
