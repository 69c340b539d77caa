"""Broken spec files: each is named with its line and what would be right, and none gives a traceback.

The files are in `broken/`; the binary one is written here.
"""

from pathlib import Path

import pytest

from generator.specs.problems import LONGEST, Problem
from generator.specs.read import read_bike, read_bikes
from tests.project import ROOT
from tests.specs.sheets import SOUND, read_spec

HERE = Path(__file__).parent
BROKEN = sorted((HERE / "broken").glob("*.yaml"))
EXPECTED = {
    "unknown-key": [
        (8, 1, "'wieght'", "Did you mean 'mass'?"),
        (15, 3, "'torqe' in motor", "Did you mean 'torque'?"),
    ],
    "wrong-unit": [(8, 7, "'kilo' in '24.5 kilo' is not a unit of mass", "kg, g, t, lb or oz")],
    "wrong-dimension": [(8, 7, "'27.4 km' is a length; mass wants kg or lb", "26.1 kg")],
    "negative": [(21, 11, "'-396 Wh' is less than 40 Wh", "Check the number")],
    "not-a-number": [
        (13, 16, "'.nan' is not a finite number", "Write the number"),
        (14, 15, "'nan W' is not a finite number", "520 W"),
    ],
    "missing-part": [
        (1, 1, "the key 'frame' is missing", "diamond, step-through"),
        (9, 1, "motor has no 'place'", "rear hub, front hub, mid"),
    ],
    "duplicate-key": [(16, 3, "on line 13 and on line 16", "delete the other")],
    "not-yaml": [(4, 6, "it begins on line 3", "Close it with ] or }")],
    "empty": [(1, 1, "the file is empty", "name: Fenno")],
    "levels-out-of-order": [(26, 26, "speed of 'Mid', 12 km/h, is below", "weakest to the")],
}


def problems_of(path: Path) -> list[Problem]:
    bike, problems = read_bike(path, HERE)
    assert bike is None
    return problems


@pytest.mark.parametrize("name", EXPECTED)
def test_named_with_line_and_mend(name: str) -> None:
    """Every mistake of a file is found in one run, at its place, with advice."""
    problems = problems_of(HERE / "broken" / f"{name}.yaml")
    assert len(problems) == len(EXPECTED[name])
    for problem, (line, column, what, mend) in zip(problems, EXPECTED[name], strict=True):
        assert (problem.line, problem.column) == (line, column)
        assert what in problem.what
        assert mend in problem.mend
        assert problem.file == f"broken/{name}.yaml"


def test_alias_bomb() -> None:
    """Repeated values are refused line by line, never expanded, and nothing else is reported."""
    problems = problems_of(HERE / "broken" / "alias-bomb.yaml")
    assert [problem.line for problem in problems] == list(range(2, 12))
    assert all("repeating" in problem.what for problem in problems)
    assert all("write values out" in problem.mend for problem in problems)


def test_one_alias_says_nothing_about_keys(tmp_path: Path) -> None:
    """After one refused repeat no missing key is reported, since it may be among the repeated ones."""
    _, problems = read_spec(tmp_path, "name: &n Grelm\nmaker: *n\nfoo: 1\n")
    assert [problem.line for problem in problems] == [1, 2]
    assert all("repeat" in problem.what for problem in problems)


def test_binary(tmp_path: Path) -> None:
    """A picture saved as a spec file is named."""
    bike, problems = read_spec(tmp_path, b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(range(256)))
    assert bike is None
    assert len(problems) == 1
    assert "not UTF-8 text" in problems[0].what
    assert "plain text" in problems[0].mend


def test_all_of_them_at_once() -> None:
    """The whole folder is read in one run; each broken file is named."""
    bikes, problems = read_bikes(HERE, BROKEN)
    assert bikes == ()
    assert {problem.file for problem in problems} == {f"broken/{path.name}" for path in BROKEN}
    assert {path.stem for path in BROKEN} == {*EXPECTED, "alias-bomb"}
    assert problems == sorted(problems)


def test_the_sound_one(tmp_path: Path) -> None:
    """The file that the broken ones were made from is sound, so each is broken for one reason only."""
    bike, problems = read_spec(tmp_path, SOUND)
    assert problems == []
    assert bike is not None


def test_sentences() -> None:
    """What is wrong and what would be right are sentences without full stops."""
    _, problems = read_bikes(HERE, BROKEN)
    for problem in problems:
        assert problem.what
        assert problem.mend
        assert not problem.what.endswith((".", "?"))
        assert not problem.mend.endswith(".")
        assert str(problem).count("..") == 0
        assert str(ROOT) not in str(problem)


@pytest.mark.parametrize(
    ("mend", "end"),
    [("Write one", "Write one."), ("Is it one?", "Is it one?"), ("Write one.", "Write one.")],
)
def test_one_full_stop(mend: str, end: str) -> None:
    """A mend that ends with a full stop or a question mark gets no other."""
    assert str(Problem("a.yaml", 1, 2, "it is two", mend)) == f"a.yaml:1:2: it is two. {end}"


def test_a_message_that_quotes_a_paragraph_is_cut(tmp_path: Path) -> None:
    """A long message is visibly cut, so that logs and notes in pull requests stay readable."""
    _, (problem,) = read_spec(tmp_path, f"note: one: {'word ' * 2000}\n")

    assert problem.mend.startswith('Put it in quotes: note: "one: word')
    assert len(problem.mend) == LONGEST
    assert str(problem).endswith("….")
    assert Problem("a.yaml", 1, 2, "w" * LONGEST, "m" * LONGEST).sentences.count("…") == 0
