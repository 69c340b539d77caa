"""The chooser of the demo: its tables hold the published figures, and its conditions and changes agree with the rule."""

import dataclasses
import datetime
import random
from dataclasses import replace

import pytest

from generator.figures.chooser import grid as chooser_grid
from generator.figures.chooser.candidates import build_chooser
from generator.figures.chooser.changes import find_changes, list_questions
from generator.figures.chooser.model import Chooser, ChooserAnswers, Ranking
from generator.figures.chooser.ranking import BikeRanker
from generator.figures.chooser.rule import CLOSE_SCORE, LAW, LOADS
from generator.figures.chooser.wishes import WISHES
from generator.law.judge import RULES
from tests.figures import demo
from tests.figures.chooser.chooser_example import rank


def order(ranking: Ranking) -> list[str]:
    return [place.bike.slug for place in ranking.ranked]


@pytest.fixture(scope="module")
def whole() -> Chooser:
    """The chooser of the demo."""
    return build_chooser(demo.table(), demo.content(), datetime.date(2026, 11, 25))


def test_the_order_of_the_sources_does_not_matter(whole: Chooser) -> None:
    """Shuffled bikes give the same chooser."""
    table = demo.table()
    mixed = list(table.bikes)
    random.Random(7).shuffle(mixed)
    again = build_chooser(
        replace(table, bikes=tuple(mixed)), demo.content(), datetime.date(2026, 11, 25)
    )

    assert again == whole
    assert [bike.slug for bike in again.bikes] == [bike.slug for bike in whole.bikes]


def test_a_name_decides_nothing(whole: Chooser) -> None:
    """With all names taken away, every score is the same."""
    nameless = replace(whole, bikes=tuple(replace(bike, name="") for bike in whole.bikes))

    def scores(found: Ranking) -> list[tuple[str, int]]:
        return [(place.bike.slug, place.score) for place in found.ranked]

    assert scores(rank(nameless, whole.usual)) == scores(rank(whole, whole.usual))


def test_usual_answers_show_the_published_figures(whole: Chooser) -> None:
    """For the default rider with the usual load, the table holds the figures of the bike's page, to within its step."""
    compared = 0
    for bike in whole.bikes:
        for road in whole.routes:
            published = demo.table().get(bike.slug, f"range.{road.id}")
            cell = bike.ranges.get(("everyday", road.id, "light"))
            assert (published is None) == (cell is None), bike.slug
            if published and cell:
                assert cell * 100.0 == pytest.approx(published.value, abs=50.001)
                low, high = bike.range_spans[road.id]
                assert low * published.value == pytest.approx(published.low, rel=0.001)
                assert high * published.value == pytest.approx(published.high, rel=0.001)
                compared += 1

    assert compared > 80


def test_more_load_is_never_easier(whole: Chooser) -> None:
    """Heavier loads shorten every range and flatten every hill; steeper roads shorten every range."""
    for bike in whole.bikes:
        for table in (bike.ranges, bike.grades):
            for *rest, load in table:
                lighter = [each.id for each in LOADS][: [each.id for each in LOADS].index(load)]
                assert all(table[(*rest, other)] >= table[(*rest, load)] for other in lighter)
        for work, _, load in bike.ranges:
            along = [bike.ranges[(work, road.id, load)] for road in whole.routes]
            assert along == sorted(along, reverse=True), bike.slug


def test_roads_are_told_by_their_steepest_100_m() -> None:
    """A road of 1 km with 100 m at 10 % in it, laid out by hand."""
    route = replace(
        demo.content().routes[0],
        distance=(0.0, 450.0, 550.0, 1000.0),
        elevation=(0.0, 0.0, 10.0, 5.0),
    )

    assert chooser_grid.find_steepest_grade(route) == pytest.approx(0.1)
    assert chooser_grid.climb_per_metre(route) == pytest.approx(0.01)


def test_every_legal_category_exists() -> None:
    """A category that the tables name is one of its rule, letter for letter."""
    rules = {rule.id: rule for rule in RULES}
    for _, rule, ordinary in LAW:
        assert set(ordinary) <= {each.name for each in rules[rule].categories}, rule


def test_conditions_agree_with_their_words(whole: Chooser) -> None:
    """Every wish but the one that always counts has a condition on answers that exist."""
    asked = {each.id: {answer.id for answer in each.answers} for each in list_questions(whole)}

    assert {wish.id for wish in WISHES} - set(whole.conditions) == {"reach"}
    for question, wanted in whole.conditions.values():
        assert wanted == ("*",) or set(wanted) <= asked[question]
    assert whole.conditions["climb"][1] == ("rolling", "hilly")


def test_changes_put_another_bike_clearly_first(whole: Chooser) -> None:
    """Each change is of one answer, and its bike leads the one that was first by `CLOSE_SCORE` or more."""
    before = rank(whole, whole.usual)
    found = find_changes(BikeRanker(whole), whole.usual)

    assert found
    for change in found:
        places = rank(whole, change.answers).ranked
        scores = {place.bike.slug: place.score for place in places}
        differing = [
            each.name
            for each in dataclasses.fields(ChooserAnswers)
            if getattr(change.answers, each.name) != getattr(whole.usual, each.name)
        ]
        assert len(differing) == 1
        assert places[0].bike == change.bike
        assert places[0].score - scores.get(order(before)[0], 0) >= CLOSE_SCORE


def test_bands_are_round_and_part_the_bikes(whole: Chooser) -> None:
    prices = [bike.price for bike in whole.bikes if bike.price and bike.status != "withdrawn"]
    counts = [sum(price <= band for price in prices) / len(prices) for band in whole.bands]

    assert list(whole.bands) == sorted(set(whole.bands))
    assert all(band % 100 == 0 for band in whole.bands)
    assert [round(3 * count) for count in counts] == [1, 2]
