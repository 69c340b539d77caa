"""Old and impossible dates, sources and currency, judged on one day."""

from datetime import date

import pytest

from generator.specs.checks.freshness import FreshnessRules, ReferenceDay, check_freshness
from generator.specs.problems import Problem
from generator.specs.yaml.files import parse_mapping
from tests.specs.sheets import SOUND, change_spec

RULES = FreshnessRules(price_days=120, source_days=365, currency="EUR")
SEEN = "seen: 2026-10-04"
PRICE = ("mass: 24.5 kg\n", "mass: 24.5 kg\nprice: {list: 990 EUR, date: 2026-10-04}\n")


def find_problems(text: str, today: ReferenceDay | None) -> list[Problem]:
    mapping, problems = parse_mapping(text, "a.yaml")
    assert mapping is not None
    assert problems == []
    return check_freshness(mapping, RULES, today)


def make_day(day: str) -> ReferenceDay:
    return ReferenceDay(date.fromisoformat(day), exact=True)


def test_a_fresh_file_gives_nothing() -> None:
    assert find_problems(change_spec(PRICE), make_day("2026-11-25")) == []


@pytest.mark.parametrize(("day", "old"), [("2027-02-01", False), ("2027-02-02", True)])
def test_a_price_grows_old(day: str, old: bool) -> None:
    """4 October and 120 days are 1 February: 27 + 30 + 31 + 31 + 1."""
    problems = find_problems(change_spec(PRICE), make_day(day))
    assert bool(problems) is old
    if old:
        assert (problems[0].line, problems[0].severity) == (9, "warning")
        assert "the price was seen on 2026-10-04, 121 days before 2027-02-02" in problems[0].what
        assert "old after 120" in problems[0].what


@pytest.mark.parametrize(("day", "old"), [("2027-10-04", False), ("2027-10-05", True)])
def test_a_source_grows_old(day: str, old: bool) -> None:
    """365 days from 4 October are 4 October of the next year, 2027 being no leap year."""
    problems = find_problems(SOUND, make_day(day))
    assert [each.what[:34] for each in problems] == ["the source 'sheet' was read on 202"] * old


def test_a_withdrawn_bike_is_history() -> None:
    text = change_spec(PRICE, ("status: on sale", "status: withdrawn"))
    assert find_problems(text, make_day("2036-01-01")) == []


def test_a_day_that_has_not_come() -> None:
    (problem,) = find_problems(SOUND, make_day("2026-10-03"))
    assert "2026-10-04 has not come yet: today is 2026-10-03" in problem.what
    assert problem.line == 35


@pytest.mark.parametrize(("day", "told_of"), [("2026-09-03", False), ("2026-09-02", True)])
def test_the_publications_own_day_is_taken_loosely(day: str, told_of: bool) -> None:
    """The publication's day is set only from time to time, so dates may lie a month after it."""
    problems = find_problems(SOUND, ReferenceDay(date.fromisoformat(day), exact=False))
    assert bool(problems) is told_of
    if told_of:
        assert "set 'updated' in content/site.yaml" in problems[0].mend


def test_without_a_day_nothing_is_said_of_days() -> None:
    assert find_problems(change_spec(PRICE), None) == []


def test_a_model_year_far_ahead() -> None:
    (problem,) = find_problems(change_spec(("year: 2026", "year: 2062")), make_day("2026-11-25"))
    assert "2062 is far ahead" in problem.what
    assert find_problems(change_spec(("year: 2026", "year: 2027")), make_day("2026-11-25")) == []


def test_sources() -> None:
    """A source without a date, an unused one, and an own test in first place are named."""
    today = make_day("2026-11-25")
    (problem,) = find_problems(change_spec((f", {SEEN}", "")), today)
    assert "'sheet' does not say when it was read" in problem.what
    shop = "  shop: {title: A shop's page, kind: seller, seen: 2026-10-04}\n"
    (problem,) = find_problems(change_spec(more=shop), today)
    assert "no value is said to be from the source 'shop'" in problem.what
    assert find_problems(change_spec(more=f"{shop}stated_by: {{mass: shop}}\n"), today) == []
    own = ("sources:\n", "sources:\n  own: {title: Ours, kind: own test}\n")
    told_of = [each.what for each in find_problems(change_spec(own), today)]
    assert "the first source, 'own', is your own test" in told_of[0]


def test_another_currency_is_only_noted() -> None:
    dollars = (PRICE[0], PRICE[1].replace("EUR", "USD"))
    (problem,) = find_problems(change_spec(dollars), make_day("2026-11-25"))
    assert problem.severity == "note"
    assert "in USD, the publication's currency is EUR" in problem.what
    assert str(problem).startswith("a.yaml:9:15: note: ")


@pytest.mark.parametrize("first", ["  - {date: 2026-10-04}", "", " soon"])
def test_a_group_that_stands_twice(first: str) -> None:
    """Dates of a repeated group, which is refused, are not looked up in the first."""
    head = "tests:" + ("\n" if first.startswith("  ") else "") + first
    mapping, problems = parse_mapping(f"{head}\ntests:\n  - {{date: 2029-01-01}}\n", "a.yaml")
    assert mapping is not None
    assert [problem.line for problem in problems] == [3 if first.startswith("  ") else 2]
    assert check_freshness(mapping, RULES, make_day("2026-11-25")) == []
