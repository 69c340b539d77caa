"""What newcomers write, and the one message that they get: it alone is enough to mend the line."""

from pathlib import Path

import pytest

from tests.specs.sheets import SOUND, read

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
    "inches": ("size: 47-622", "size: 28 x 1.75", 33, "the ETRTO size printed on the tyre's side"),
}


@pytest.mark.parametrize("name", MISTAKES)
def test_one_message_mends_it(tmp_path: Path, name: str) -> None:
    """One problem, on the line of the mistake, with what would be right."""
    before, after, line, mend = MISTAKES[name]
    assert before in SOUND
    _, problems = read(tmp_path, SOUND.replace(before, after, 1))
    assert [problem.line for problem in problems] == [line], list(map(str, problems))
    assert mend in problems[0].mend


@pytest.mark.parametrize(
    "text", ["\ufeff" + SOUND, SOUND.replace("\n", "\r\n"), SOUND.replace("\n", "\r")]
)
def test_what_other_systems_write_is_taken(tmp_path: Path, text: str) -> None:
    """A byte order mark, and line ends of Windows and old Macs."""
    bike, problems = read(tmp_path, text.encode())
    assert bike is not None
    assert problems == []
