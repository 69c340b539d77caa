"""A spec file that contradicts itself: errors for the impossible, warnings for the implausible."""

import json
from pathlib import Path

import pytest

from tests.specs.sheets import SOUND, change_spec, read_one_problem, read_sound_bike, read_spec

OWN = "  own: {title: Ours, kind: own test}\n"
RIDE = "rides:\n  - {route: rolling, rider: everyday, level: Mid, distance: 31 km, date: 2026-10-14"


@pytest.mark.parametrize(
    ("change", "line", "what", "mend"),
    [
        (
            ("energy: 396 Wh", "energy: 410 Wh"),
            21,
            "36 V × 11 Ah is 396 Wh, the file says 410 Wh",
            "printed on the battery",
        ),
        (
            ("peak_power: 480 W", "peak_power: 1000 W"),
            14,
            "36 V × 14 A is 504 W",
            "the current limit",
        ),
        (
            ("High, speed: 25 km/h", "High, speed: 32 km/h"),
            27,
            "'High' allows 32 km/h, above the motor's assisted_speed of 25 km/h",
            "motor.assisted_speed",
        ),
        (
            ("current: 14 A}", "current: 20 A}"),
            27,
            "'High' allows 20 A, above the motor's current_limit of 14 A",
            "motor.current_limit",
        ),
        (
            ("[11, 14, 18, 24, 28]", "[18]"),
            31,
            "a derailleur with one cog",
            "shifting: single speed",
        ),
        (("shifting: derailleur", "shifting: hub gear"), 28, "without hub_ratios", "lowest first"),
        (("shifting: derailleur", "shifting: single speed"), 29, "several gears", "derailleur"),
        (("chainrings: [42]", "hub_ratios: [0.75, 1.0]"), 30, "hub gear", "delete them"),
        (("size: 47-622", "size: 47-623"), 33, "no rim of 623 mm is known", "width first"),
        (
            ("size: 47-622", "size: 47-622\n  rollout: 1900 mm"),
            34,
            "rolls about 2249 mm in a turn, the file says 1900 mm",
            "Measure again",
        ),
        (
            ("sensor: cadence", "sensor: cadence\n  throttle: {speed: 32 km/h}"),
            24,
            "the throttle reaches 32 km/h",
            "Check both",
        ),
        (
            ("sensor: cadence", "pulses: 12\n  start_pulses: 30"),
            24,
            "more than two turns of the crank",
            "before help comes",
        ),
    ],
)
def test_warnings(tmp_path: Path, change, line: int, what: str, mend: str) -> None:
    """Implausible values give a warning with the numbers, and a bike."""
    problem = read_one_problem(tmp_path, change)
    assert (problem.severity, problem.line) == ("warning", line)
    assert what in problem.what
    assert mend in problem.mend
    assert read_sound_bike(tmp_path, change)


@pytest.mark.parametrize(
    ("change", "line", "what", "mend"),
    [
        (
            ("permitted_mass: 130 kg", "permitted_mass: 62 kg"),
            9,
            "is not above the bike's own, 70 kg",
            "bike, rider and load",
        ),
        (("peak_power: 480 W", "peak_power: 200 W"), 14, "below the rated power", "Exchange"),
        (("speed: 20 km/h", "speed: 12 km/h"), 26, "is below that of 'Low'", "weakest"),
        (("High, speed: 25", "High, speed: 18"), 27, "is below that of 'Mid'", "weakest"),
        (("current: 9 A", "current: 4 A"), 26, "the current of 'Mid', 4 A, is below", "weakest"),
        (("name: High", "name: Mid"), 27, "on line 26 and on line 27", "a name of its own"),
        (("[11, 14, 18, 24, 28]", "[28, 14, 11]"), 31, "do not rise", "Write [11, 14, 28]"),
    ],
)
def test_errors(tmp_path: Path, change, line: int, what: str, mend: str) -> None:
    """Impossible values are an error with its line."""
    heavy = [("mass: 24.5 kg\n", "mass: 70 kg\n")] if "permitted" in change[0] else []
    problem = read_one_problem(tmp_path, *heavy, change)
    assert (problem.severity, problem.line) == ("error", line)
    assert what in problem.what
    assert mend in problem.mend


def test_levels_that_set_different_limits(tmp_path: Path) -> None:
    """Levels are compared in the limits that they share, and gaps are ignored."""
    assert read_sound_bike(
        tmp_path, ("{name: Mid, speed: 20 km/h, current: 9 A}", "{name: Mid, ratio: 2}")
    )


@pytest.mark.parametrize("energy", ["385 Wh", "396 Wh", "407 Wh"])
def test_within_three_percent(tmp_path: Path, energy: str) -> None:
    """Volts × ampere-hours may differ from the stated watt-hours by rounding."""
    _, problems = read_spec(tmp_path, change_spec(("396 Wh", energy)))
    assert problems == []


def test_rounded_speeds(tmp_path: Path) -> None:
    """28 mph against 45 km/h is rounding, not a contradiction."""
    changes = (("assisted_speed: 25 km/h", "assisted_speed: 45 km/h"), ("25 km/h,", "28 mph,"))
    _, problems = read_spec(tmp_path, change_spec(*changes))
    assert problems == []


def test_hopeful_range(tmp_path: Path) -> None:
    """A claim that implies a little more than 3 Wh/km is not a problem."""
    _, problems = read_spec(tmp_path, change_spec(more="claims:\n  range: {high: 131 km}\n"))
    assert problems == []


@pytest.mark.parametrize("battery", [(), (("  energy: 396 Wh\n", ""),)])
def test_absurd_range(tmp_path: Path, battery) -> None:
    """A range claim that implies an absurd consumption is a warning."""
    problem = read_one_problem(
        tmp_path, *battery, more="claims:\n  range: {low: 60 km, high: 200 km}\n"
    )
    assert problem.severity == "warning"
    assert "396 Wh over 200 km is 2 Wh per km" in problem.what


@pytest.mark.parametrize(
    ("more", "what", "mend"),
    [
        ("stated_by: {motor.torq: sheet}\n", "'motor.torq' names nothing", "'motor.torque'"),
        ("stated_by: {mass: shet}\n", "no source 'shet'", "'sheet'"),
        ("stated_by: {sources.sheet: sheet}\n", "names nothing", "joined by dots"),
        (
            "corrections:\n  - {key: torque, was: 1, now: 2, reason: x, date: 2026-10-05}\n",
            "'torque' names nothing",
            "'motor.torque'",
        ),
        (
            "revisions:\n  - {date: 2026-09-01, kind: firmware, what: x,"
            ' was: {assist.levels.Even.speed: "1"}}\n',
            "'assist.levels.Even.speed' names nothing",
            "assist.levels.",
        ),
        (OWN + RIDE.replace("Mid", "Med") + ", energy: 262 Wh}\n", "no level 'Med'", "'Mid'"),
    ],
)
def test_names_that_lead_nowhere(tmp_path: Path, more: str, what: str, mend: str) -> None:
    """Sources, dotted keys and levels must exist; the nearest one is offered."""
    problem = read_one_problem(tmp_path, more=more)
    assert problem.severity == "error"
    assert what in problem.what
    assert mend in problem.mend


@pytest.mark.parametrize(
    ("more", "what"),
    [(OWN + RIDE + "}\n", "what it took from the battery"), (RIDE + ", energy: 2 Wh}\n", "no sou")],
)
def test_thin_records(tmp_path: Path, more: str, what: str) -> None:
    """A ride without its energy, or without a source for it, is a warning."""
    problem = read_one_problem(tmp_path, more=more)
    assert problem.severity == "warning"
    assert what in problem.what


@pytest.mark.parametrize("blank", [" ", "\u00a0", " \t "])
@pytest.mark.parametrize("key", ["name: Grelm", "name: Low", "title: Maker's spec sheet"])
def test_a_name_of_blanks_is_none(tmp_path: Path, blank: str, key: str) -> None:
    """A blank name would be a link without visible or spoken text (WCAG 2.2, 2.4.4 and 4.1.2)."""
    problem = read_one_problem(tmp_path, (key, f"{key.split(':')[0]}: {json.dumps(blank)}"))
    assert key in SOUND.splitlines()[problem.line - 1]
    assert "the text is empty" in problem.what


@pytest.mark.parametrize(
    ("more", "what"),
    [
        ('cargo: {"": 5 kg}\n', "a key in cargo has no name"),
        ('cargo: {" ": 5 kg}\n', "a key in cargo has no name"),
        (f"cargo: {{{'w' * 61}: 5 kg}}\n", "this name in cargo has 61 characters"),
    ],
)
def test_names_of_loads(tmp_path: Path, more: str, what: str) -> None:
    problem = read_one_problem(tmp_path, more=more)
    assert what in problem.what
    assert problem.line == len(SOUND.splitlines()) + 1


def test_a_source_has_a_name(tmp_path: Path) -> None:
    problem = read_one_problem(tmp_path, ("  sheet: {", '  "": {'))
    assert "a key in sources has no name" in problem.what
