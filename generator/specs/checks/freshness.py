"""Is a spec file up to date, on a given day and by a publication's settings?

* ReferenceDay       the day to judge by
* FreshnessRules     the ages at which the publication calls prices and sources old, and its currency
* check_freshness    every warning and note about dates, sources and currency
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from generator.specs.checks.facts import Facts
from generator.specs.problems import Problem
from generator.specs.stated import read_date
from generator.specs.yaml.located import Keys, LocatedMapping

GRACE = timedelta(days=31)
"""How far a date may lie after the publication's own day, which is set only from time to time; common
practice, no source."""
YEARS_AHEAD = 1
"""How far a model year may lie ahead, since makers sell next year's model; common practice, no source."""
DATED = ("date", "seen")
"""Keys whose dates must lie in the past."""
OUR_OWN = "own test"


@dataclass(frozen=True)
class ReferenceDay:
    """The day by which dates are judged."""

    on: date
    exact: bool
    """Was it named for this run? Else it is the publication's `updated` day."""

    @property
    def latest(self) -> date:
        """Latest date that is not in the future."""
        return self.on if self.exact else self.on + GRACE


@dataclass(frozen=True)
class FreshnessRules:
    """A publication's rules for dates and currency."""

    price_days: int
    """Age from which a price is old. [days]"""
    source_days: int
    """Age from which a source is old. [days]"""
    currency: str
    """ISO 4217 code."""


def check_freshness(
    mapping: LocatedMapping, rules: FreshnessRules, today: ReferenceDay | None
) -> list[Problem]:
    """Warnings and notes about old and impossible dates, sources and currency; without `today`, none about dates.

    A withdrawn bike's price and sources are history and never called old.
    """
    facts = Facts(mapping)
    if today is not None:
        _check_dates(facts, today)
        if facts.get_text("status") != "withdrawn":
            _check_price_age(facts, rules, today.on)
            _check_source_ages(facts, rules, today.on)
    _check_sources(facts)
    _check_currency(facts, rules)
    return facts.problems


def _check_dates(facts: Facts, today: ReferenceDay) -> None:
    for keys, on in _find_dates(facts.mapping):
        if on <= today.latest:
            continue
        if today.exact:
            facts.add_warning(
                keys, f"{on} has not come yet: today is {today.on}", "Check year and month"
            )
        else:
            what = f"{on} is more than {GRACE.days} days after {today.on}, the 'updated' of the"
            mend = "Check year and month; if it is right, set 'updated' in content/site.yaml"
            facts.add_warning(keys, f"{what} publication", mend)
    year = facts.get("year")
    if isinstance(year, int) and year > today.latest.year + YEARS_AHEAD:
        mend = "Write the year of the model that the values are for"
        facts.add_warning(("year",), f"the model year {year} is far ahead of {today.on}", mend)


def _find_dates(mapping: LocatedMapping) -> Iterator[tuple[Keys, date]]:
    for keys in mapping.texts:
        if keys and keys[-1] in DATED:
            on = _read_date(_get_value(mapping.value, keys))
            if on is not None:
                yield keys, on


def _get_value(value: Any, keys: Keys) -> Any:
    for key in keys:
        value = value[key]
    return value


def _check_price_age(facts: Facts, rules: FreshnessRules, today: date) -> None:
    on = _read_date(facts.get("price", "date"))
    if on is None or (today - on).days <= rules.price_days:
        return
    facts.add_warning(
        ("price", "date"),
        f"the price was seen on {on}, {(today - on).days} days before {today}; this publication"
        f" calls a price old after {rules.price_days}",
        "Look it up again, and write down the price and the day",
    )


def _check_source_ages(facts: Facts, rules: FreshnessRules, today: date) -> None:
    for name in facts.get_group("sources"):
        on = _read_date(facts.get("sources", name, "seen"))
        own = facts.get_text("sources", name, "kind") == OUR_OWN
        if own or on is None or (today - on).days <= rules.source_days:
            continue
        facts.add_warning(
            ("sources", name, "seen"),
            f"the source '{name}' was read on {on}, {(today - on).days} days before {today}; this"
            f" publication calls a source old after {rules.source_days}",
            "Read it again, mend what has changed, and write down the day",
        )


def _check_sources(facts: Facts) -> None:
    """Check that each source has its date and is used, and that the first is not an own test."""
    names = list(facts.get_group("sources"))
    for name in names:
        place = ("sources", name)
        unseen = isinstance(facts.get(*place), dict) and facts.get(*place, "seen") is None
        if unseen and facts.get_text(*place, "kind") not in (OUR_OWN, ""):
            what = f"the source '{name}' does not say when it was read"
            facts.add_warning(
                place, what, "Add the day on which you read it, such as 'seen: 2026-10-04'"
            )
    if len(names) > 1 and facts.get_text("sources", names[0], "kind") == OUR_OWN:
        what = (
            f"the first source, '{names[0]}', is your own test, so every value counts as measured"
        )
        mend = f"Put '{names[1]}' first, and name what you measured in stated_by"
        facts.add_warning(("sources", names[0]), what, mend)
        return
    quoted = {each for each in facts.get_group("stated_by").values() if isinstance(each, str)}
    for name in names[1:]:
        kind = facts.get_text("sources", name, "kind")
        if name not in quoted and kind not in (OUR_OWN, "certificate", ""):
            what = f"no value is said to be from the source '{name}'"
            mend = f"Add a line to stated_by, such as 'mass: {name}', or delete the source"
            facts.add_warning(("sources", name), what, mend)


def _check_currency(facts: Facts, rules: FreshnessRules) -> None:
    words = facts.get_text("price", "list")
    currency = words[-3:]
    if words and currency.isalpha() and currency.isupper() and currency != rules.currency:
        what = f"the price is in {currency}, the publication's currency is {rules.currency}"
        mend = "Leave it if the bike is sold so: prices are never converted"
        facts.add_note(("price", "list"), what, mend)


def _read_date(value: Any) -> date | None:
    try:
        found = read_date(value)
    except ValueError:
        return None
    return found if isinstance(found, date) else None
