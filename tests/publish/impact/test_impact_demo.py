"""The impact of changes to the demo, compared with a computation of each state alone."""

import shutil
from pathlib import Path

import pytest

from generator.publish.impact.compare import assess_impact
from generator.publish.impact.model import Impact
from tests.project import ROOT
from tests.publish.impact.impacts import by_hand, ids, rewrite, spec

FIRMWARE = (
    ("  sensor: cadence\n  pulses: 10\n  start_pulses: 4\n", "  sensor: torque\n  pulses: 10\n  start_pulses: 1\n"),
    ("ramp: 1.0 s", "ramp: 0.3 s"),
)  # fmt: skip
"""A cadence sensor becomes a torque sensor."""
CHANGES = {
    "pellimor-fenno": (("energy: 504 Wh", "energy: 400 Wh"),),
    "oskelm-talli": FIRMWARE,
}


@pytest.fixture(scope="module")
def sides(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, Impact]:
    """The demo, the demo with two bikes changed at once, and the report."""
    before = tmp_path_factory.mktemp("demo") / "before"
    for name in ("bikes", "content"):
        shutil.copytree(ROOT / name, before / name)
    after = shutil.copytree(before, before.with_name("after"))
    for slug, changes in CHANGES.items():
        rewrite(spec(after, slug), *changes)
    return before, after, assess_impact(after, str(before))


@pytest.mark.parametrize(
    ("slug", "key", "moving", "still"),
    [
        (
            "pellimor-fenno",
            "battery.energy",
            {"range.rolling", "battery.charge_time"},
            {"gears.highest", "hills.minutes", "spec.mass"},
        ),
        (
            "oskelm-talli",
            "assist.",
            {"assist.take_up_angle", "assist.share", "range.rolling"},
            {"spec.price", "spec.torque", "gears.range"},
        ),
    ],
)
def test_a_change_of_one_bike(
    sides: tuple[Path, Path, Impact], slug: str, key: str, moving: set[str], still: set[str]
) -> None:
    """The report has exactly the figures that differ, with causes in this bike only."""
    before, after, report = sides

    assert ids(report.moves, slug) == by_hand(before, after, slug)
    assert moving <= ids(report.moves, slug)
    assert not still & ids(report.moves, slug)
    why = [cause for move in report.moves if move.bike == slug for cause in move.why]
    assert all(cause.startswith(key) for cause in why)


def test_no_other_bike_is_said_to_have_moved(sides: tuple[Path, Path, Impact]) -> None:
    report = sides[2]

    assert {move.bike for move in report.moves} == set(CHANGES)
    assert all({swap.ahead, swap.behind} & set(CHANGES) for swap in report.swaps)
    assert report.errors == ()
