"""Every figure of every demo bike has an interval, inputs, a formula and a source."""

import math
import re
from dataclasses import replace

import pytest

from generator.figures import show
from generator.figures.model import Figure, Working
from generator.figures.registry import REGISTRY
from tests.figures import demo

BRACE = re.compile(r"[{}]")


def figures() -> list[Figure]:
    return [each for slug in demo.table().figures.values() for each in slug.values()]


def working(figure: Figure) -> Working:
    return demo.table().working(figure)


def stated(figure: Figure) -> bool:
    """Whether a figure is copied from the spec file, without inputs."""
    return figure.id.startswith("spec.") or figure.id == "claims.range"


def test_there_is_much_to_walk():
    """Thirty bikes with some eighty figures each."""
    assert len(demo.bikes()) >= 28
    assert len(figures()) > 2000


@pytest.mark.parametrize("definition", REGISTRY.definitions, ids=lambda each: each.id)
def test_definition_explains_itself(definition):
    """Words, formula, source and unit stand in the registry."""
    for part in ("title", "words", "formula", "source"):
        assert getattr(definition, part).strip(), part
    assert definition.unit is not None


def test_every_kind_of_the_table_is_complete():
    for kind in demo.table().kinds.values():
        assert kind.unit.si
        assert kind.group == kind.id.split(".")[0]
        for text in (kind.id, kind.title, kind.short, kind.words, kind.formula, kind.source):
            assert text
            assert "{" not in text, (kind.id, text)


def test_every_definition_is_had_by_some_bike():
    """Nothing is registered that no bike shows."""
    shown = {each.id for each in figures()}

    assert set(demo.table().kinds) == shown


def test_every_figure_has_a_finite_interval_around_its_value():
    for each in figures():
        assert math.isfinite(each.low), each.id
        assert math.isfinite(each.high), each.id
        assert each.low <= each.value <= each.high, (each.bike, each.id)


def test_every_figure_has_inputs_with_their_sources():
    """Figures that are worked out list what they used, each with basis, text and source."""
    for each in figures():
        assert working(each).inputs or stated(each), (each.bike, each.id)
        for given, _ in working(each).inputs:
            assert given.basis in ("claimed", "measured", "assumed", "computed"), given
            assert given.title, given
            assert given.text, given
            assert given.basis == "claimed" or given.source, (each.bike, each.id, given)


def test_shares_of_the_inputs_are_whole():
    """What explains the variance adds up to all of it, or to nothing where nothing varies."""
    for each in figures():
        total = sum(given.share for given in working(each).inputs)
        assert total == pytest.approx(1.0, abs=0.005) or total == 0.0, (each.bike, each.id, total)
        if total == 0.0 and not stated(each):
            assert each.high - each.low <= 1e-5 * abs(each.value) + 1e-12, (each.bike, each.id)


def test_derivations_are_filled_in():
    """No placeholder is left in steps, sentence, note or conditions; the result stands in the steps.

    Where the reviewers' own rides moved a figure, the steps end with what it would be without them.
    """
    for each in figures():
        for text in (*working(each).steps, each.sentence, each.note, each.conditions):
            assert not BRACE.search(text), (each.bike, each.id, text)
            assert "nan" not in text.lower().split(), (each.bike, each.id, text)
        before = each.before_rides[0] if each.before_rides else each.value
        result = show.format_figure(replace(each, value=before))
        if working(each).steps:
            assert result in " ".join(working(each).steps), (
                each.bike,
                each.id,
                working(each).steps,
                result,
            )


def test_every_computed_figure_shows_its_steps():
    for each in figures():
        assert working(each).steps or stated(each), (each.bike, each.id)


def test_level_is_named_in_the_conditions():
    """Where a figure holds for a level, the level's own name stands there."""
    for each in figures():
        if "{level_name}" in each.kind.conditions:
            names = [level.name for level in demo.bike(each.bike).assist.levels] or ["Full"]
            wanted = [each.kind.conditions.replace("{level_name}", name) for name in names]
            assert each.conditions in wanted, (each.bike, each.id, each.conditions)


def test_missing_figures_say_what_is_missing():
    """The bike with much missing data has fewer figures, and each gap names an input."""
    missing = demo.table().missing["gromblo-drusk"]

    assert len(missing) > 20
    assert all(titles and all(titles) for titles in missing.values())
    assert not set(missing) & set(demo.table().figures_of("gromblo-drusk"))


def test_curves_of_every_bike():
    """Every chart's rows are finite, and a bike that lacks an input has none."""
    table = demo.table()
    names = (
        "hills.speed_by_grade", "assist.motor_by_rider", "assist.launch", "gears.cadence_by_speed", "range.by_level"
    )  # fmt: skip
    for bike in table.bikes:
        for name in names:
            for row in table.curve(bike.slug, name):
                numbers = [part for part in row.values() if isinstance(part, float)]
                assert numbers, (bike.slug, name)
                assert all(math.isfinite(part) for part in numbers), (bike.slug, name, row)
    assert table.curve("oskelm-talli", "range.by_level")
    with pytest.raises(KeyError):
        table.curve("oskelm-talli", "no.such.chart")
