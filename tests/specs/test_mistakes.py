"""Mistakes of newcomers, each with the one message that is enough to correct it."""

from pathlib import Path

import pytest

from generator.publish.vet.check import check_publication
from tests.project import ROOT
from tests.specs.sheets import SOUND, read_spec

MASS = "mass: 24.5 kg"
SEEN = "seen: 2026-10-04"
COGS = "cogs: [11, 14, 18, 24, 28]"
MISTAKES = {
    "tab": ("  place: rear hub", "\tplace: rear hub", 11, "Indent with spaces"),
    "colon": ("name: Grelm", "name: Grelm: the second", 2, 'name: "Grelm: the second"'),
    "comma": (MASS, "mass: 24,5 kg", 8, "Write '24.5 kg', with a decimal point"),
    "space": (MASS, "mass:24.5 kg", 8, "Write 'mass: 24.5 kg'"),
    "hard space": (MASS, "mass:\u00a024.5 kg", 8, "Type it again: 'mass: 24.5 kg'"),
    "wide colon": (MASS, "mass：24.5 kg", 8, "Type it again: 'mass: 24.5 kg'"),
    "equals": (MASS, "mass = 24.5 kg", 8, "Write 'mass: 24.5 kg'"),
    "one space left": (MASS, f" {MASS}", 8, "as many spaces"),
    "unit": ("torque: 40 N·m", "torque: 40 W", 15, "such as 65 N·m"),
    "case of a unit": (MASS, "mass: 24.5 KG", 8, "Did you mean '24.5 kg'?"),
    "two units": (MASS, "mass: 24.5 kg (54 lb)", 8, "Write '24.5 kg' and nothing else"),
    "yes": ("  voltage: 36 V", "  removable: Yes\n  voltage: 36 V", 19, "Write true"),
    "day first": (SEEN, "seen: 04.10.2026", 35, "year-month-day: 2026-10-04"),
    "slashes": (SEEN, "seen: 10/4/2026", 35, "2026-04-10 or 2026-10-04"),
    "month too large": (SEEN, "seen: 10/24/2026", 35, "year-month-day: 2026-10-24"),
    "short date": (SEEN, "seen: 2026-10-4", 35, "year-month-day: 2026-10-04"),
    "month in words": (SEEN, "seen: 4 October 2026", 35, "such as 2026-10-04"),
    "order": ("15 km/h, current", "22 km/h, current", 26, "from the weakest to the strongest"),
    "one number": ("chainrings: [42]", "chainrings: 42", 30, "in brackets: [42]"),
    "numbers": (COGS, "cogs: 11, 14, 18, 24, 28", 31, "in brackets: [11, 14, 18, 24, 28]"),
    "a list": ("wheels:\n  size", "wheels:\n  - size", 32, "Take the dashes and brackets away"),
    "dash": ("uses: [city]", "uses:\n- city\n-touring", 8, "Write '- touring'"),
    "percent": ("speed: 15 km/h, current: 5 A", "power: %30", 25, "Write '30 %'"),
    "curly": ("name: Grelm", "name: “Grelm”", 2, 'Write "Grelm" with straight ones'),
    "curly with colon": ("name: Grelm", "name: “Grelm: two”", 2, 'name: "Grelm: two"'),
    "hyphen": ("place: rear hub", "place: rear-hub", 11, "Did you mean 'rear hub'?"),
    "semicolon": (MASS, "mass; 24.5 kg", 8, "Write 'mass: 24.5 kg'"),
    "letter O": (MASS, "mass: 2O lb", 8, "Is the O a zero? Write '20 lb'"),
    "price": (
        MASS,
        f"{MASS}\nprice: {{list: '1,499 USD', date: 2026-10-04}}",
        9,
        "Write '1499 USD'",
    ),
    "no value inside": ("speed: 20 km/h", "speed: ", 26, "or leave 'speed' out"),
    "section twice": (
        "assist:",
        "battery:\n  removable: true\nassist:",
        22,
        "Move the lines of the second 'battery:' under the first, and delete the second",
    ),
    "date at the margin": (
        MASS,
        f"{MASS}\nprice:\n  list: 1499 USD\ndate: 2026-10-04",
        11,
        "Put two spaces before it",
    ),
    "decimal inches": ("size: 47-622", "size: 26 x 2.1", 33, "nearly always 559: look at the tyre"),
    "inches": ("size: 47-622", "size: 28 x 1.75", 33, "the ETRTO size printed on the tyre's side"),
}


@pytest.mark.parametrize("name", MISTAKES)
def test_one_message_mends_it(tmp_path: Path, name: str) -> None:
    """A mistake gives one problem, on its line, with what would be right."""
    before, after, line, mend = MISTAKES[name]
    assert before in SOUND
    _, problems = read_spec(tmp_path, SOUND.replace(before, after, 1))
    assert [problem.line for problem in problems] == [line], list(map(str, problems))
    assert mend in problems[0].mend


@pytest.mark.parametrize(
    "text", ["\ufeff" + SOUND, SOUND.replace("\n", "\r\n"), SOUND.replace("\n", "\r")]
)
def test_what_other_systems_write_is_taken(tmp_path: Path, text: str) -> None:
    """A byte order mark and line ends of Windows and old Macs are accepted."""
    bike, problems = read_spec(tmp_path, text.encode())
    assert bike is not None
    assert problems == []


def test_a_level_without_its_dash_or_comma(tmp_path: Path) -> None:
    """The advice is the whole corrected line."""
    level = "- {name: Mid, speed: 20 km/h, current: 9 A}"
    assert level in SOUND
    for wrong, what in (
        (level[2:], "a dash is missing"),
        (level.replace("- ", "-"), "a space is missing after the dash"),
        (level.replace("h, c", "h c"), "a comma is missing before 'current'"),
    ):
        _, problems = read_spec(tmp_path, SOUND.replace(level, wrong))
        assert [problem.line for problem in problems] == [26], list(map(str, problems))
        assert problems[0].what.startswith(what)
        right = level[2:] if "comma" in what else level
        assert problems[0].mend == f"Write '{right}'"


@pytest.mark.parametrize(
    "comment",
    ["most that it may weigh", "upright: with a straight back", "crouched: low, as on a racer."],
)
def test_the_rest_of_a_comment(tmp_path: Path, comment: str) -> None:
    before = "mass: 24.5 kg"
    after = f"{before}          # ready to ride\n{' ' * 24}{comment}"
    _, problems = read_spec(tmp_path, SOUND.replace(before, after, 1))
    assert [problem.line for problem in problems] == [9], list(map(str, problems))
    assert "looks like the rest of a comment" in problems[0].what
    assert problems[0].mend == "Put # before it"


@pytest.mark.parametrize(
    ("key", "group", "line"),
    [
        ("voltage: 36 V", "battery", 19),
        ("charge: 11 Ah", "battery", 20),
        ("torque: 4", "motor", 15),
    ],
)
def test_a_key_at_the_margin(tmp_path: Path, key: str, group: str, line: int) -> None:
    """The problem is on the key's own line, not where the parser stumbles."""
    assert f"  {key}" in SOUND
    _, problems = read_spec(tmp_path, SOUND.replace(f"  {key}", key, 1))
    assert [problem.line for problem in problems] == [line], list(map(str, problems))
    name = key.split(":")[0]
    assert problems[0].what == f"'{name}' belongs in {group}, but begins at the margin"
    assert problems[0].mend == "Put two spaces before it"


def test_a_digit_too_few(tmp_path: Path) -> None:
    """8 kg is no more likely than 8 lb, so no other unit is offered; a plain mix-up still is."""
    _, problems = read_spec(tmp_path, SOUND.replace(MASS, "mass: 8 lb"))
    assert "a digit may be missing" in problems[0].mend
    _, problems = read_spec(tmp_path, SOUND.replace(MASS, "mass: 24.5 g"))
    assert "'24.5 kg' would fit" in problems[0].mend


def test_stated_energy_is_what_the_guide_reckons_with(tmp_path: Path) -> None:
    _, problems = read_spec(tmp_path, SOUND.replace("energy: 396 Wh", "energy: 500 Wh"))
    assert "the guide reckons with the stated energy, 500 Wh" in problems[0].mend


@pytest.mark.parametrize(
    ("line", "lost"),
    [
        ("  #current_limit: 22 A", True),
        ("#wheelbase: 1100 mm   # between the axles", True),
        ('    #- {name: "1", speed: 8 mph}', True),
        ("  #current_limit:    # Battery current. Such as 15 A", False),
        ("  #front: {kind: , rotor: }   # The brake: at the front", False),
        ('    #- {name: "1", speed: }', False),
        ("# mass: as weighed", False),
        ("#todo: ask the maker", False),
    ],
)
def test_a_value_behind_a_hash_is_told(tmp_path: Path, line: str, lost: bool) -> None:
    """A value in a comment is a warning; empty lines to fill in and prose are not."""
    read_spec(tmp_path, f"{SOUND}{line}\n")
    problems = check_publication(tmp_path, [tmp_path / "bikes" / "oskelm-grelm.yaml"])
    assert [problem.severity for problem in problems] == ["warning"] * lost
    if lost:
        assert problems[0].line == SOUND.count("\n") + 1
        assert problems[0].mend == "Take the # away, or delete the line"


def test_no_demo_bike_loses_a_value() -> None:
    for path in sorted((ROOT / "bikes").glob("*.yaml")):
        assert not [
            each for each in check_publication(ROOT, [path]) if "still begins with #" in each.what
        ]


def test_a_file_with_nearly_this_name(tmp_path: Path) -> None:
    read_spec(tmp_path, SOUND)
    (problem,) = check_publication(tmp_path, [tmp_path / "bikes" / "oskelm-grlm.yaml"])
    assert problem.what == "there is no such file"
    assert problem.mend == "Did you mean 'oskelm-grelm.yaml'?"
