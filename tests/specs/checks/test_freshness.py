"""Old and impossible days, sources and currency: seen with the eyes of one day."""

from datetime import date

import pytest

from generator.specs.checks.freshness import Day, Rules, freshness
from generator.specs.problems import Problem
from generator.specs.yaml.files import parse_mapping
from tests.specs.sheets import SOUND, changed

RULES = Rules(price_days=120, source_days=365, currency="EUR")
SEEN = "seen: 2026-10-04"
PRICE = ("mass: 24.5 kg\n", "mass: 24.5 kg\nprice: {list: 990 EUR, date: 2026-10-04}\n")


def told(text: str, today: Day | None) -> list[Problem]:
    marked, problems = parse_mapping(text, "a.yaml")
    assert marked is not None
    assert problems == []
    return freshness(marked, RULES, today)


def on(day: str) -> Day:
    return Day(date.fromisoformat(day), exact=True)


def test_a_fresh_file_gives_nothing() -> None:
    assert told(changed(PRICE), on("2026-11-25")) == []


@pytest.mark.parametrize(("day", "old"), [("2027-02-01", False), ("2027-02-02", True)])
def test_a_price_grows_old(day: str, old: bool) -> None:
    """4 October and 120 days are 1 February: 27 + 30 + 31 + 31 + 1."""
    problems = told(changed(PRICE), on(day))
    assert bool(problems) is old
    if old:
        assert (problems[0].line, problems[0].severity) == (9, "warning")
        assert "the price was seen on 2026-10-04, 121 days before 2027-02-02" in problems[0].what
        assert "old after 120" in problems[0].what


@pytest.mark.parametrize(("day", "old"), [("2027-10-04", False), ("2027-10-05", True)])
def test_a_source_grows_old(day: str, old: bool) -> None:
    """365 days from 4 October are 4 October of the next year, 2027 being no leap year."""
    problems = told(SOUND, on(day))
    assert [each.what[:34] for each in problems] == ["the source 'sheet' was read on 202"] * old


def test_a_withdrawn_bike_is_history() -> None:
    text = changed(PRICE, ("status: on sale", "status: withdrawn"))
    assert told(text, on("2036-01-01")) == []


def test_a_day_that_has_not_come() -> None:
    (problem,) = told(SOUND, on("2026-10-03"))
    assert "2026-10-04 has not come yet: today is 2026-10-03" in problem.what
    assert problem.line == 35


@pytest.mark.parametrize(("day", "told_of"), [("2026-09-03", False), ("2026-09-02", True)])
def test_the_publications_own_day_is_taken_loosely(day: str, told_of: bool) -> None:
    """It is set from time to time, and files are written between."""
    problems = told(SOUND, Day(date.fromisoformat(day), exact=False))
    assert bool(problems) is told_of
    if told_of:
        assert "set 'updated' in content/site.yaml" in problems[0].mend


def test_without_a_day_nothing_is_said_of_days() -> None:
    assert told(changed(PRICE), None) == []


def test_a_model_year_far_ahead() -> None:
    (problem,) = told(changed(("year: 2026", "year: 2062")), on("2026-11-25"))
    assert "2062 is far ahead" in problem.what
    assert told(changed(("year: 2026", "year: 2027")), on("2026-11-25")) == []


def test_sources() -> None:
    """When read, used at all, and not our own first."""
    today = on("2026-11-25")
    (problem,) = told(changed((f", {SEEN}", "")), today)
    assert "'sheet' does not say when it was read" in problem.what
    shop = "  shop: {title: A shop's page, kind: seller, seen: 2026-10-04}\n"
    (problem,) = told(changed(more=shop), today)
    assert "no value is said to be from the source 'shop'" in problem.what
    assert told(changed(more=f"{shop}stated_by: {{mass: shop}}\n"), today) == []
    own = ("sources:\n", "sources:\n  own: {title: Ours, kind: own test}\n")
    told_of = [each.what for each in told(changed(own), today)]
    assert "the first source, 'own', is your own test" in told_of[0]


def test_another_currency_is_only_noted() -> None:
    dollars = (PRICE[0], PRICE[1].replace("EUR", "USD"))
    (problem,) = told(changed(dollars), on("2026-11-25"))
    assert problem.severity == "note"
    assert "in USD, the publication's currency is EUR" in problem.what
    assert str(problem).startswith("a.yaml:9:15: note: ")


@pytest.mark.parametrize("first", ["  - {date: 2026-10-04}", "", " soon"])
def test_a_group_that_stands_twice(first: str) -> None:
    """The days of the second, which is refused, are not looked for in the first."""
    head = "tests:" + ("\n" if first.startswith("  ") else "") + first
    marked, problems = parse_mapping(f"{head}\ntests:\n  - {{date: 2029-01-01}}\n", "a.yaml")
    assert marked is not None
    assert [problem.line for problem in problems] == [3 if first.startswith("  ") else 2]
    assert freshness(marked, RULES, on("2026-11-25")) == []
