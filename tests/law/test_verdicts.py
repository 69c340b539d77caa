"""Categories of the demo bikes against the texts of the law."""

import datetime
from dataclasses import replace

import pytest

from generator.law.verdicts import find_verdicts, read_legal_inputs
from generator.specs.bike import Assist, Throttle
from tests.figures import demo

TODAY = datetime.date(2026, 11, 25)


def category(slug: str, rule: str) -> str:
    return {each.rule: each.category for each in find_verdicts(demo.bike(slug), TODAY)}[rule]


@pytest.mark.parametrize(
    ("slug", "rule", "expected"),
    [
        # 250 W, 25 km/h, made to EN 15194: Regulation (EU) 168/2013, Art 2(2)(h); SI 1983/1168 reg 4.
        ("oskelm-talli", "eu", "EPAC, outside type approval"),
        ("oskelm-talli", "uk", "EAPC"),
        # Assisted to 45 km/h, two wheels: Regulation (EU) 168/2013, Annex I.
        ("pellimor-quarl", "eu", "L1e-B moped"),
        # 750 W and 28 mph without throttle: 36 CFR 1.4. 750 W is not below 750 W: 15 USC 2085(b).
        ("karnoot-dromm", "us-classes", "Class 3"),
        ("karnoot-dromm", "us-federal", "none"),
        # 750 W, 20 mph with a throttle to 20 mph: 36 CFR 1.4.
        ("tuspen-hebb", "us-classes", "Class 2"),
    ],
)
def test_category(slug, rule, expected):
    """The bike's category follows the text of the law."""
    assert category(slug, rule) == expected


def test_unknown_inputs_give_unknown():
    """A spec file that states almost nothing gives unknown verdicts, which name what is missing."""
    found = {each.rule: each for each in find_verdicts(demo.bike("gromblo-drusk"), TODAY)}

    assert found["eu"].category == "unknown"
    assert "the maximum continuous rated power" in found["us-classes"].missing
    assert found["eu"].words.startswith("the figures given do not tell")


def test_every_bike_has_a_verdict_in_every_region():
    """All bikes × all rules in force, with source and date of the check."""
    regions = {tuple(each.rule for each in find_verdicts(bike, TODAY)) for bike in demo.bikes()}

    assert len(regions) == 1
    assert len(next(iter(regions))) >= 12
    for bike in demo.bikes():
        for each in find_verdicts(bike, TODAY):
            assert each.category
            assert each.source
            assert each.checked_on <= TODAY


def test_rules_are_dated():
    """The Swiss light category stands in its present form since 1 July 2025 (VTS SR 741.41 Art 18)."""
    bike = demo.bike("oskelm-talli")
    before = {each.rule for each in find_verdicts(bike, datetime.date(2025, 6, 30))}
    after = {each.rule for each in find_verdicts(bike, datetime.date(2025, 7, 1))}

    assert before != after


def test_throttle_of_a_bike_without_listed_levels_is_unknown():
    """No stated throttle means none only where assist levels are listed."""
    bike = demo.bike("oskelm-talli")
    bare = replace(bike, assist=Assist(sensor="cadence"))

    assert read_legal_inputs(bare).throttle_speed is None
    assert (
        read_legal_inputs(
            replace(bike, assist=replace(bike.assist, start_assist=None))
        ).throttle_speed
        == 0.0
    )


def test_throttle_ends_the_stop_with_the_pedals():
    """A bike with a throttle does not stop with the pedals, whatever standard it is certified to."""
    bike = demo.bike("oskelm-talli")
    speed = bike.motor.assisted_speed
    assert speed is not None
    with_throttle = replace(bike, assist=replace(bike.assist, throttle=Throttle(speed)))

    assert read_legal_inputs(with_throttle).stops_with_pedals is False
    assert {each.rule: each.category for each in find_verdicts(with_throttle, TODAY)}[
        "eu"
    ] == "L1e-A powered cycle"
