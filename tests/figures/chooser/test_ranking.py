"""Properties of the chooser's rule that hold for any bikes. There is no published source for a wish."""

import dataclasses
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.figures.chooser.changes import find_changes
from generator.figures.chooser.columns import interpolate_fit
from generator.figures.chooser.model import Candidate, ChooserAnswers, Ranking
from generator.figures.chooser.ranking import BikeRanker
from generator.figures.chooser.rule import (
    CLOSE_SCORE,
    LIFT_LIMIT,
    RACK_LOAD,
    RULE,
    STEEP,
    VERY_STEEP,
)
from generator.figures.chooser.wishes import WISHES
from tests.figures.chooser.chooser_example import USUAL, candidate, chooser, rank

BETTER = {wish.id: wish.knots[-1][1] - wish.knots[0][1] for wish in WISHES}
"""Rise of the fit from the first knot to the last, by wish: positive where more is better."""


def order(ranking: Ranking) -> list[str]:
    return [place.bike.slug for place in ranking.ranked]


def missed(bike: Candidate, answers: ChooserAnswers = USUAL) -> tuple[str, ...]:
    found = rank(chooser(bike), answers).left_out
    return found[0][1] if found else ()


def doubts(bike: Candidate, answers: ChooserAnswers = USUAL) -> tuple[str, ...]:
    return rank(chooser(bike), answers).ranked[0].doubts


@pytest.mark.parametrize("wish", WISHES, ids=lambda wish: wish.id)
@given(data=st.data())
def test_a_fit_lies_between_its_knots(wish, data) -> None:
    """A fit is between 0 and 1, exact at each knot, and never worse for a better figure."""
    (least, _), (most, _) = wish.knots[0], wish.knots[-1]
    values = st.floats(0.5 * least, 1.5 * most)
    low, high = sorted((data.draw(values), data.draw(values)))

    assert 0.0 <= interpolate_fit(wish, low) <= 1.0
    assert (interpolate_fit(wish, high) - interpolate_fit(wish, low)) * BETTER[wish.id] >= 0.0
    assert [interpolate_fit(wish, at) for at, _ in wish.knots] == [value for _, value in wish.knots]


@given(
    mine=st.floats(11.0, 90.0),
    more=st.floats(0.0, 60.0),
    others=st.lists(st.floats(11.0, 90.0), min_size=1, max_size=5),
)
def test_more_range_never_lowers_the_place(mine: float, more: float, others: list[float]) -> None:
    rivals = [candidate(f"rival-{at}", km=km) for at, km in enumerate(others)]
    before = order(rank(chooser(candidate("mine", km=mine), *rivals), USUAL)).index("mine")
    after = order(rank(chooser(candidate("mine", km=mine + more), *rivals), USUAL)).index("mine")

    assert after <= before


@pytest.mark.parametrize(
    ("id", "answers"),
    [
        ("hills.speed_10", USUAL),
        ("assist.share", replace(USUAL, work="gentle")),
        ("assist.follow_slope", replace(USUAL, feel="follow")),
        ("assist.take_up_time", replace(USUAL, feel="push")),
    ],
)
def test_a_better_figure_never_lowers_the_place(id: str, answers: ChooserAnswers) -> None:
    """A place is no lower for any published figure of the rule moved over its whole span in the better direction."""
    wish = next(each for each in WISHES if each.figure == id)
    rivals = [
        candidate(f"rival-{at}", figures={**candidate("x").figures, id: (value, value, value)})
        for at, value in enumerate(at for at, _ in wish.knots)
    ]
    span = wish.knots[-1][0] - wish.knots[0][0]
    steps = [wish.knots[0][0] + span * part / 20 for part in range(-2, 23)]
    found = []
    for value in steps if BETTER[wish.id] > 0 else reversed(steps):
        mine = candidate("mine", figures={**candidate("x").figures, id: (value, value, value)})
        found.append(order(rank(chooser(mine, *rivals), answers)).index("mine"))

    assert found == sorted(found, reverse=True)
    assert found[0] != found[-1]


def test_a_weight_of_nothing_is_ignored() -> None:
    """With weight 0, a wish does not move the score, however badly it is met."""
    near, far = candidate("near", km=11.0), candidate("far", km=90.0)
    weighed = rank(chooser(near, far), USUAL).ranked
    ignored = rank(chooser(near, far), replace(USUAL, weights={"reach": 0})).ranked

    assert weighed[0].bike == far
    assert weighed[0].score - weighed[1].score > CLOSE_SCORE
    assert ignored[0].score == ignored[1].score


def test_a_greater_weight_counts_more() -> None:
    light = candidate("light", mass=16.0, km=15.0)
    far = candidate("far", mass=24.0, km=60.0)
    on_stairs = replace(USUAL, stairs="some")

    assert (
        order(rank(chooser(light, far), replace(on_stairs, weights={"reach": 4, "lift": 1})))[0]
        == "far"
    )
    assert order(rank(chooser(light, far), replace(on_stairs, weights={"reach": 1, "lift": 4})))[0] == "light"  # fmt: skip


def test_the_score_is_the_weighted_mean() -> None:
    """By hand: 20 km over 10 km is a fit of 0.5 with weight 3; 26.5 kg is half way from 18 to 35 kg, weight 1."""
    found = rank(chooser(candidate("one", km=20.0, mass=26.5)), replace(USUAL, hills="flat"))

    assert found.ranked[0].score == 500


@pytest.mark.parametrize(
    ("musts", "bike", "answers"),
    [
        (("sale",), candidate("x", status="withdrawn"), USUAL),
        (("use",), candidate("x"), replace(USUAL, use="touring")),
        (("budget",), candidate("x", price=2000.5), replace(USUAL, budget="2000")),
        ((), candidate("x", price=2000.0), replace(USUAL, budget="2000")),
        (("reach",), candidate("x", km=9.9), USUAL),
        ((), candidate("x", km=10.0), USUAL),
        (("mass",), candidate("x", permitted=101.9), USUAL),
        ((), candidate("x", permitted=102.0), USUAL),  # 22 kg of bike, 75 of rider, 5 of load
        (("racks",), candidate("x", all_places_load=14.0), replace(USUAL, load="shopping")),
        ((), candidate("x", all_places_load=14.0), USUAL),
        (
            ("racks",),
            candidate("x", best_place_load=20.0, all_places_load=40.0),
            replace(USUAL, load="child"),
        ),
        (("law",), candidate("x", law={"eu": "moped"}), USUAL),
        ((), candidate("x", law={"eu": "moped"}), replace(USUAL, fast="yes")),
        ((), candidate("x", law={"eu": "moped"}), replace(USUAL, law="none")),
        (("lift",), candidate("x", mass=25.1), replace(USUAL, stairs="daily")),
        ((), candidate("x", mass=25.1), replace(USUAL, stairs="some")),
        (
            ("budget", "reach"),
            candidate("x", price=3000.0, km=5.0),
            replace(USUAL, budget="2000"),
        ),
    ],
)
def test_must_haves(musts: tuple[str, ...], bike: Candidate, answers: ChooserAnswers) -> None:
    """A bike is left out for each must-have that it misses, on the exact side of the limit."""
    assert missed(bike, answers) == musts


def test_what_is_not_known_is_said_and_never_guessed() -> None:
    """An unknown must-have keeps the bike, with a warning; an unknown wish counts as not met."""
    blank = candidate(
        "blank",
        mass=None,
        permitted=None,
        best_place_load=None,
        all_places_load=None,
        law={"eu": "unknown"},
        ranges={},
        grades={},
        figures={},
    )
    place = rank(chooser(blank), replace(USUAL, load="shopping", stairs="daily")).ranked[0]

    assert place.doubts == ("reach", "mass", "racks", "law", "lift")
    assert {(each.measure, each.fit) for each in place.fits} == {(None, 0.0)}
    assert place.score == 0


def test_faster_categories_are_marked_where_they_are_let_in() -> None:
    assert doubts(candidate("x", law={"eu": "moped"}), replace(USUAL, fast="yes")) == ("fast",)
    assert doubts(candidate("x"), replace(USUAL, fast="yes")) == ()


def test_money_is_never_converted() -> None:
    """With a budget, a price in another currency stands apart; without one it does not matter."""
    foreign = candidate("foreign", price=None, currency="USD")
    unpriced = candidate("unpriced", price=None)
    with_budget = rank(chooser(foreign, unpriced), replace(USUAL, budget="9000"))

    assert [(bike.slug, why) for bike, why in with_budget.set_apart] == [
        ("foreign", "currency"),
        ("unpriced", "unpriced"),
    ]
    assert not with_budget.ranked
    assert len(rank(chooser(foreign, unpriced), USUAL).ranked) == 2


def test_close_neighbours_are_called_close() -> None:
    """Neighbours less than `CLOSE_SCORE` apart have no clear order; the first is close to none."""
    bikes = (candidate("a", km=30.0), candidate("b", km=30.2), candidate("c", km=12.0))
    places = rank(chooser(*bikes), USUAL).ranked

    assert [place.close for place in places] == [False, True, False]
    assert places[0].score - places[1].score < CLOSE_SCORE <= places[1].score - places[2].score


def test_no_payment_and_no_link_can_enter() -> None:
    """The rule's inputs have no field for a shop, a link, a payment, a maker or a relation."""
    names = {each.name for each in dataclasses.fields(Candidate)}

    assert names == {
        "slug", "name", "status", "uses", "price", "currency", "mass", "permitted", "best_place_load", "all_places_load", "law",
        "ranges", "grades", "range_spans", "grade_span", "figures",
    }  # fmt: skip


def test_the_printed_rule_says_the_numbers() -> None:
    """The numbers in the words of the rule are those of the tables."""
    text = " ".join(RULE)

    assert f"more than {LIFT_LIMIT:g} kg" in text
    assert f"under {RACK_LOAD:g} kg" in text
    assert f"less than {CLOSE_SCORE / 10:g} of 100" in text
    assert f"by {CLOSE_SCORE / 10:g} of 100 or more" in text
    for id, limit in (("climb", STEEP), ("uphill", VERY_STEEP)):
        assert f"{100 * limit:g} %" in next(each.when for each in WISHES if each.id == id)


def test_words_of_ranking() -> None:
    """A bike fits, meets or falls short; none is called best, and none is praised."""
    text = " ".join(
        sentence for each in WISHES for sentence in (each.good, each.middling, each.poor)
    )

    assert not re.search(r"\b(best|great|perfect|excellent|winner|recommend\w*)\b", text.lower())
    assert all("Falls short" in each.poor or each.id == "cost" for each in WISHES)


def test_more_money_is_tried_in_round_steps() -> None:
    """With 300 more, the dearer bike comes first: 2200 × 1.1 is 2420, rounded up to 2450; × 1.25 is 2750."""
    cheap = candidate("cheap", price=2000.0, km=12.0)
    dear = candidate("dear", price=2700.0, km=60.0)
    answers = replace(USUAL, budget="2200")
    tables = chooser(cheap, dear)
    found = find_changes(BikeRanker(tables), answers)

    assert [(each.words, each.bike.slug) for each in found] == [("with 550 EUR more", "dear")]
