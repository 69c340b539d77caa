"""The impact of real changes of the demo, held against a computation of each side alone."""

import shutil
from pathlib import Path

import pytest

from generator.publish.impact.compare import impact
from tests.publish.impacts import by_hand, ids, rewrite, spec
from tests.publish.processes import ROOT

FIRMWARE = (
    ("  sensor: cadence\n  pulses: 10\n  start_pulses: 4\n", "  sensor: torque\n  pulses: 10\n  start_pulses: 1\n"),
    ("ramp: 1.0 s", "ramp: 0.3 s"),
)  # fmt: skip
"""A cadence sensor gives way to a torque sensor."""


@pytest.fixture(scope="module")
def before(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    for name in ("bikes", "content"):
        shutil.copytree(ROOT / name, folder / name)
    return folder


@pytest.mark.parametrize(
    ("slug", "changes", "moving", "still"),
    [
        (
            "pellimor-fenno",
            (("energy: 504 Wh", "energy: 400 Wh"),),
            {"range.rolling", "battery.charge_time"},
            {"gears.highest", "hills.minutes", "spec.mass"},
        ),
        (
            "oskelm-talli",
            FIRMWARE,
            {"assist.take_up_angle", "assist.share", "range.rolling"},
            {"spec.price", "spec.torque", "gears.range"},
        ),
    ],
)
def test_a_change_of_one_bike(
    before: Path,
    tmp_path: Path,
    slug: str,
    changes: tuple[tuple[str, str], ...],
    moving: set[str],
    still: set[str],
) -> None:
    """Exactly the figures that differ, of this bike alone; no other bike is said to have moved."""
    after = shutil.copytree(before, tmp_path / "after")
    rewrite(spec(after, slug), *changes)
    report = impact(after, str(before))

    assert ids(report.moves, slug) == by_hand(before, after, slug)
    assert moving <= ids(report.moves, slug)
    assert not still & ids(report.moves, slug)
    assert {move.bike for move in report.moves} == {slug}
    assert {slug} >= {swap.ahead for swap in report.swaps} & {swap.behind for swap in report.swaps}
    assert all(slug in (swap.ahead, swap.behind) for swap in report.swaps)
    assert all(move.why != ("the program",) for move in report.moves)
    assert report.errors == ()
