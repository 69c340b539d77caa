"""Which bikes are set side by side, and what is said of their difference."""

from dataclasses import replace

import pytest

from generator.pages.compare import verdict
from generator.pages.pairs import MOST, Pairs
from tests.pages import site_example as example
from tests.pages.site_example import bike


def slugs(pairs: Pairs) -> set[tuple[str, str]]:
    return {(one.slug, other.slug) for one, other in pairs.all}


def test_same_use_and_a_price_within_the_band() -> None:
    """1350 is 35 % above 1000, which is the limit; 1351 is beyond it. House rule."""
    near, far = bike("invor-b", 1350.0), bike("invor-c", 1351.0)

    assert slugs(Pairs([bike("invor-a", 1000.0), near])) == {("invor-a", "invor-b")}
    assert slugs(Pairs([bike("invor-a", 1000.0), far])) == set()
    assert slugs(Pairs([bike("invor-a", 1000.0), replace(near, uses=("cargo",))])) == set()


def test_currencies_are_never_mixed() -> None:
    assert slugs(Pairs([bike("invor-a", 1000.0), bike("invor-b", 1000.0, "USD")])) == set()


def test_a_bike_without_a_price_stands_alone() -> None:
    assert slugs(Pairs([bike("invor-a", 1000.0), bike("invor-b")])) == set()


def test_pages_grow_with_the_number_of_bikes() -> None:
    """At most three for each bike, however many cost about the same."""
    bikes = [bike(f"invor-n{number}", 1000.0 + number) for number in range(200)]

    assert len(Pairs(bikes).all) <= MOST * len(bikes)
    assert all(one.slug < other.slug for one, other in Pairs(bikes).all)


@pytest.mark.parametrize(
    ("low", "high", "better", "said", "clear"),
    [
        (50.0, 70.0, "higher", "better: B", True),
        (50.0, 70.0, "lower", "better: A", True),
        (50.0, 70.0, "neither", "higher: B", True),
        (44.0, 70.0, "higher", "no clear difference", False),
        (45.0, 70.0, "higher", "no clear difference", False),
    ],
)
def test_verdict(low: float, high: float, better: str, said: str, clear: bool) -> None:
    """Against a figure of 40, interval 35 to 45: a difference is clear when the intervals do not meet."""
    kind = replace(example.KINDS[0], better=better)  # type: ignore[arg-type] # one of the three words
    left = example.figure("invor-a", kind, 40.0, 35.0, 45.0)
    right = example.figure("invor-b", kind, 60.0, low, high)

    assert verdict(left, right, bike("invor-a"), bike("invor-b")) == (said, clear)
    assert verdict(left, None, bike("invor-a"), bike("invor-b")) == ("not known for both", False)
    assert verdict(left, left, bike("invor-a"), bike("invor-b")) == ("the same", False)
