"""Conditions of figures in words."""

from dataclasses import replace

import pytest

from generator.handout.conditions import is_at_limit, say_written_conditions
from tests.handout.conftest import Demo

BAGS = "a rider of 75 kg with 5 kg of bags"


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("the tramway loop; the everyday rider; level Even", f"for {BAGS} on the tramway loop in level Even"),
        ("the moor road; the keen rider; level 3", "for a rider of 85 kg with 8 kg of bags on the moor road in level 3"),
        ("default route and rider; level 2", f"for {BAGS} on the tramway loop in level 2"),
        ("lowest gear; highest level, Full; default rider", f"for {BAGS} in the lowest gear in the highest level (Full)"),
        ("flat, no wind; default rider", f"for {BAGS} on the flat, no wind"),
        ("default rider's comfortable cadence", f"at the comfortable cadence of {BAGS}"),
        ("dry road; rider seated", "dry road, rider seated"),
        ("", ""),
    ],
)  # fmt: skip
def test_conditions_in_words(demo: Demo, written: str, words: str) -> None:
    """Rider, route and level come first; anything else is said as written."""
    assert say_written_conditions(written, demo.publication.content, "metric") == words


def test_american_units(demo: Demo) -> None:
    """75 kg are 165 lb and 5 kg are 11 lb: 1 lb is 0.45359237 kg (international agreement, 1959)."""
    words = say_written_conditions("the everyday rider", demo.publication.content, "us")

    assert words == "for a rider of 165 lb with 11 lb of bags"


def test_nothing_of_the_registry_is_left(demo: Demo) -> None:
    """The word `default` of our registry, which listeners cannot know, is never said."""
    content = demo.publication.content
    for figures in demo.table.figures.values():
        for figure in figures.values():
            assert "default" not in say_written_conditions(figure.conditions, content, "metric"), (
                figure.conditions
            )


def test_a_figure_that_is_told_no_further(demo: Demo) -> None:
    """Minutes on a climb are computed up to two hours, so 120 is said as at least 120."""
    minutes = demo.table.figures["pellimor-fenno"]["hills.minutes"]

    assert minutes.value == 7200.0
    assert is_at_limit(minutes)
    assert not is_at_limit(replace(minutes, value=7000.0))
