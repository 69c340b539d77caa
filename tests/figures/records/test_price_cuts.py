"""When a fall in price is a cut: worked cases of the rules, and their edges.

Sources: Directive 98/6/EC, Article 6a, consolidated 28 May 2022; Commission guidance on that article, OJ C 526,
29.12.2021, page 130 (the lowest price of the 30 days before; goods on sale for less; progressive reductions); Court of
Justice, C-330/23, 26 September 2024 (a percentage is reckoned from that price); 16 CFR 233.1. The amounts are ours; what
follows from each is the rule's.
"""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.content.money.read import PriceObservation
from generator.figures.records.price_cuts import (
    HELD_DAYS,
    LONGEST_CUT,
    LONGEST_GAP,
    RECENT,
    WINDOW_DAYS,
    find_rule,
    judge_cut,
)
from generator.figures.records.price_history import build_price_history

TODAY = date(2026, 11, 25)


def seen(amount: float, days_ago: int, **more: object) -> PriceObservation:
    given = {"bike": "b", "seller": "A", "currency": "EUR", "includes_tax": True, **more}
    when = TODAY - timedelta(days=days_ago)
    return PriceObservation(amount=Decimal(str(amount)), day=when, **given)  # type: ignore[arg-type]


def daily(*stretches: tuple[float, int], **more: object) -> list[PriceObservation]:
    """One look a day up to today; each stretch is a price and the days that it lasted."""
    amounts = [amount for amount, days in stretches for _ in range(days)]
    return [seen(amount, len(amounts) - 1 - at, **more) for at, amount in enumerate(amounts)]


def verdict(rows: list[PriceObservation], region: str = "EU", stale: bool = False):
    return judge_cut(rows, region, TODAY, stale=stale)


def test_a_steady_price_that_falls() -> None:
    """1000 for 60 days, then 800: announced, 20 % from 1000."""
    found = verdict(daily((1000, 60), (800, 1)))
    assert (found.announced, found.percent, found.former) == (True, 20, Decimal(1000))
    assert (
        "lowest price that we recorded at this seller in the 30 days before 25 November 2026"
        in found.words
    )
    assert not found.flag


def test_a_price_raised_to_be_cut() -> None:
    """1000, raised to 1200 15 days ago, then 1000 again: the lowest of the 30 days is 1000, so there is no cut."""
    found = verdict(daily((1000, 60), (1200, 15), (1000, 1)))
    assert not found.announced
    assert "as little within the 30 days before" in found.words


def test_a_flash_sale_shortly_before() -> None:
    """1000, 750 for a day ten days ago, 1000, then 800: the lowest is 750, and 800 is above it."""
    found = verdict(daily((1000, 60), (750, 1), (1000, 9), (800, 1)))
    assert not found.announced
    assert "750" in found.words


def test_steps_without_a_pause() -> None:
    """1000, 900 and ten days later 800: a state may let the seller count from 1000 (6a(5)); we count from 900 and say so."""
    found = verdict(daily((1000, 60), (900, 10), (800, 1)))
    assert (found.percent, found.former) == (11, Decimal(900))
    assert "6a(5)" in found.flag
    paused = verdict(daily((1000, 60), (900, 5), (1000, 5), (800, 1)))
    assert (paused.percent, paused.flag) == (11, "")


def test_on_sale_for_twelve_days() -> None:
    """Less than 30 days of history: no claim (states may have a rule of their own, 6a(4))."""
    found = verdict(daily((1000, 11), (900, 1)))
    assert not found.announced
    assert "not recorded the 30 days before" in found.words


@pytest.mark.parametrize(
    ("days", "announced"), [(WINDOW_DAYS - 1, False), (WINDOW_DAYS, True), (WINDOW_DAYS + 1, True)]
)
def test_thirty_days_are_needed(days: int, announced: bool) -> None:
    """ "Not shorter than 30 days prior": 30 full days before the first day of the lower price, and not 29."""
    assert verdict(daily((1000, days), (900, 1))).announced is announced


@pytest.mark.parametrize(("ago", "announced"), [(30, False), (31, True)])
def test_a_low_price_leaves_the_window(ago: int, announced: bool) -> None:
    """700 for one day: 30 days before the cut it counts, 31 days before it does not."""
    rows = daily((1000, 40), (700, 1), (1000, ago - 1), (800, 1))
    assert verdict(rows).announced is announced


def test_percent_is_reckoned_from_the_lowest_and_never_says_too_much() -> None:
    """C-330/23: not from the price just before. And 1000 to 667 is 33 %, not 34."""
    found = verdict(daily((1000, 40), (900, 5), (1000, 5), (810, 1)))
    assert (found.percent, found.former) == (10, Decimal(900))
    assert verdict(daily((1000, 40), (667, 1))).percent == 33


def test_a_seldom_watched_price_has_no_cut() -> None:
    rows = [seen(1000, 60), seen(1000, 20), seen(900, 0)]
    assert "too seldom" in verdict(rows).words
    often = [seen(1000, 60 - LONGEST_GAP * step) for step in range(4)] + [seen(900, 0)]
    assert verdict(often).announced


def test_the_fall_may_have_come_any_day_since_the_last_look() -> None:
    """A fall seen on day 0 may be 14 days old, so the window reaches that much further back."""
    later = [seen(1000, 56), seen(1000, 42), seen(1000, 28), seen(1000, 14), seen(800, 0)]
    assert verdict(later).announced
    earlier_low = [seen(790, 56), *later[1:]]
    assert not verdict([*earlier_low[:1], seen(790, 43), *later[1:]]).announced


def test_what_is_no_cut_any_more_or_not_known() -> None:
    assert verdict(daily((1000, 60), (900, LONGEST_CUT + 1))).announced
    assert "no cut any more" in verdict(daily((1000, 60), (900, LONGEST_CUT + 2))).words
    assert "lately" in verdict(daily((1000, 60), (900, 1)), stale=True).words
    assert not judge_cut(daily((1000, 60), (900, 1)), "EU", None, stale=False).announced
    assert "rise" in verdict(daily((1000, 60), (1100, 1))).words
    assert "No change" in verdict([seen(1000, 3)]).words
    assert "less than one percent" in verdict(daily((1000, 60), (995, 1))).words
    assert "without tax" in verdict(daily((1000, 60), (900, 1), includes_tax=False)).words


@pytest.mark.parametrize(("days", "announced"), [(HELD_DAYS - 1, False), (HELD_DAYS, True)])
def test_a_former_price_in_the_united_states(days: int, announced: bool) -> None:
    """16 CFR 233.1 wants a genuine former price and no number of days; 28 of 90 is the rule of this house."""
    rows = daily((800, 60), (1000, days), (900, 1), includes_tax=False, currency="USD")
    found = verdict(rows, "US-CA")
    assert found.announced is announced
    assert "our rule" in found.words or found.percent == 10
    assert "our own rule" in find_rule("US").words


def test_days_long_ago_and_days_unseen_do_not_count_in_the_united_states() -> None:
    long_ago = daily((1000, 60), (900, RECENT), (1000, 5), (800, 1))
    assert not verdict(long_ago, "US").announced
    unseen = [seen(1000, 80), seen(1000, 20), seen(800, 0)]
    assert not verdict(unseen, "US").announced


@pytest.mark.parametrize("region", ["CA", "AU", "JP", "CH", "NO"])
def test_elsewhere_nothing_is_announced(region: str) -> None:
    found = verdict(daily((1000, 60), (500, 1)), region)
    assert not found.announced
    assert "announce no cuts here" in found.words
    assert "list prices" in find_rule(region).words


def test_regions() -> None:
    assert {find_rule(each).id for each in ("EU", "DE", "FR", "IE", "GR", "EL")} == {"EU"}
    assert {find_rule(each).id for each in ("UK", "GB", "GB-SCT")} == {"UK"}
    assert find_rule("US-CA").id == "US"
    assert verdict(daily((1000, 60), (800, 1)), "UK").percent == 20
    assert not verdict(daily((1000, 60), (1200, 15), (1000, 1)), "UK").announced


prices = st.lists(
    st.tuples(st.integers(1, 5).map(lambda step: 100 * step), st.integers(1, 25)),
    min_size=1,
    max_size=7,
)


@given(prices)
def test_no_announced_price_was_ever_as_low_in_the_thirty_days_before(stretches) -> None:
    """For any history watched daily: the percentage is from the lowest of the 30 days, or none is given."""
    rows = daily(*stretches)
    found = verdict(rows)
    newest = rows[-1].amount
    start = next(at for at in range(len(rows)) if all(row.amount == newest for row in rows[at:]))
    before = [row.amount for row in rows[max(0, start - 30) : start]]
    if found.announced:
        assert len(before) == 30
        assert newest < min(before) == found.former
        assert found.percent <= 100 * (1 - newest / min(before))


def test_order_and_lowest_on_record() -> None:
    rows = [
        seen(1200, 40),
        seen(1100, 3),
        seen(900, 200, seller="B"),
        seen(1100, 5, seller="C"),
        seen(1050, 2, seller="D", currency="CHF"),
        seen(950, 2, seller="E", includes_tax=False),
    ]
    found = build_price_history(rows, region="EU", currency="EUR", today=TODAY, stale_days=120)
    assert [each.newest.seller for each in found.sellers] == ["A", "C", "E", "D", "B"]
    assert [each.stale for each in found.sellers] == [False, False, False, False, True]
    lowest = found.lowest[0]
    assert (lowest.at.amount, lowest.at.seller, lowest.count) == (Decimal(900), "B", 4)
    assert lowest.since == TODAY - timedelta(days=200)
    assert [each.at.currency for each in found.lowest] == ["EUR", "EUR", "CHF"]
    assert [each.at.includes_tax for each in found.lowest] == [True, False, True]


@pytest.mark.parametrize(("days", "stale"), [(120, False), (121, True)])
def test_old_prices(days: int, stale: bool) -> None:
    found = build_price_history(
        [seen(1000, days)], region="EU", currency="EUR", today=TODAY, stale_days=120
    )
    assert found.sellers[0].stale is stale
    unknown = build_price_history(
        [seen(1000, 0)], region="EU", currency="EUR", today=None, stale_days=120
    )
    assert unknown.sellers[0].stale
