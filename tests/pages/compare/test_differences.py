"""Verdicts on figures side by side. By this project's rule a difference is clear when intervals do not overlap."""

from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.figures import units
from generator.figures.model import Figure
from generator.pages.compare.differences import Verdict, compare_figures, format_mark
from generator.specs.english import listed
from tests.pages import site_example as example

Span = tuple[float, float, float]


def figures(better: str, *spans: Span | None) -> list[Figure | None]:
    """Figures of one kind with value, low and high."""
    kind = replace(example.KINDS[0], better=better)  # type: ignore[arg-type] # one of the three words
    return [span and example.figure("invor-a", kind, *span) for span in spans]


def said(better: str, *spans: Span | None) -> Verdict:
    return compare_figures(figures(better, *spans), "ABCD"[: len(spans)])


LOW, LIKE_LOW, HIGH = (40.0, 35.0, 45.0), (44.0, 39.0, 49.0), (60.0, 50.0, 70.0)
STATED = (40.0, 40.0, 40.0)


@pytest.mark.parametrize(
    ("other", "better", "words", "clear"),
    [
        (HIGH, "higher", "better: B", True),
        (HIGH, "lower", "better: A", True),
        (HIGH, "neither", "higher: B", True),
        ((60.0, 44.0, 70.0), "higher", "no clear difference", False),
        ((60.0, 45.0, 70.0), "higher", "no clear difference", False),
        (LOW, "higher", "no clear difference", False),
        (None, "higher", "not known: B", False),
    ],
)
def test_two(other: Span | None, better: str, words: str, clear: bool) -> None:
    """Against 40, likely 35 to 45; ends that touch still meet."""
    found = said(better, LOW, other)

    assert (found.words, found.clear) == (words, clear)


@pytest.mark.parametrize(
    ("spans", "better", "words", "best"),
    [
        ((LOW, LIKE_LOW, HIGH), "higher", "best: C", (2,)),
        ((LOW, LIKE_LOW, HIGH), "lower", "best: A, no clear difference from B", (0, 1)),
        ((LOW, LIKE_LOW, HIGH), "neither", "highest: C", ()),
        ((LOW, LOW, HIGH), "lower", "best: A, no clear difference from B", (0, 1)),
        ((STATED, STATED, HIGH), "lower", "best: A, the same as B", (0, 1)),
        ((STATED, STATED), "lower", "the same", ()),
        ((LOW, None, HIGH), "higher", "better: C; not known: B", (2,)),
        ((LOW, None, None, HIGH), "higher", "better: D; not known: B and C", (3,)),
        ((None, None, LOW), "higher", "not known: A and B", ()),
        ((LOW, LIKE_LOW, LIKE_LOW), "higher", "no clear difference", ()),
        (
            ((50.0, 30.0, 70.0), (35.0, 30.0, 40.0), (45.0, 43.0, 47.0)),
            "higher",
            "no clear best, though C is clearly better than B",
            (),
        ),
        (
            ((50.0, 30.0, 70.0), (35.0, 30.0, 40.0), (45.0, 43.0, 47.0)),
            "neither",
            "no clear highest, though C is clearly higher than B",
            (),
        ),
    ],
)
def test_more(
    spans: tuple[Span | None, ...], better: str, words: str, best: tuple[int, ...]
) -> None:
    """The best one clearly, the best ones tied, or none; what is not known takes no part."""
    found = said(better, *spans)

    assert (found.words, found.best) == (words, best)


def test_currencies_are_not_compared() -> None:
    here, there = figures("lower", LOW, HIGH)
    assert there
    foreign = replace(there, kind=replace(there.kind, unit=units.ENERGY))

    assert compare_figures([here, foreign], "AB") == Verdict(
        "different currencies, not compared", False
    )


def test_marks() -> None:
    """A word beside the figure, never a colour alone."""
    one, two = Verdict("", True, (1,)), Verdict("", True, (0, 2))

    assert [format_mark(one, place) for place in range(3)] == ["", "best", ""]
    assert [format_mark(two, place) for place in range(3)] == [
        "among the best",
        "",
        "among the best",
    ]


def test_lists_of_names() -> None:
    assert [listed("ABC"[:count]) for count in range(4)] == ["", "A", "A and B", "A, B and C"]


spans = (
    st.tuples(*[st.integers(0, 9)] * 3)
    .map(lambda ends: tuple(sorted(ends)))
    .map(lambda ends: (float(ends[1]), float(ends[0]), float(ends[2])))
)


@given(st.lists(spans, min_size=2, max_size=4), st.sampled_from(["higher", "lower", "neither"]))
def test_a_verdict_is_never_more_than_the_intervals_say(found: list[Span], better: str) -> None:
    """Clear if and only if two intervals do not overlap; the best are those that overlap the best value's interval."""
    result = said(better, *found)
    apart = any(one[2] < other[1] for one, other in permutations(found, 2))
    values = [span[0] for span in found]
    _, low, high = found[values.index(min(values) if better == "lower" else max(values))]
    level = tuple(place for place, span in enumerate(found) if span[1] <= high and low <= span[2])

    assert result.clear == apart
    assert result.best in ((), level)
    assert bool(result.best) == (apart and better != "neither" and len(level) < len(found))
