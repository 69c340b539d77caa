"""Profiles in CSV: bad rows by line, and what is odd between rows."""

import pytest

from generator.content.routes.profile import MOST_PROBLEMS, read_profile

HEAD = "distance_m,elevation_m,surface,stop\n"


@pytest.mark.parametrize(
    ("rows", "line", "what"),
    [
        ("0,1,,\n10,x,,\n20,1,,\n", 3, "elevation_m is 'x'"),
        ("0,1,,\n10,nan,,\n20,1,,\n", 3, "elevation_m is 'nan'"),
        ("0,1,,\ninf,1,,\n20,1,,\n", 3, "distance_m is 'inf'"),
        ("0,1,,\n-10,1,,\n20,1,,\n", 3, "distance_m is '-10'"),
        ('0,1,,\n"10,5",1,,\n20,1,,\n', 3, "distance_m is '10,5'"),
        ("0,1,,\n10,9999,,\n20,1,,\n", 3, "elevation_m is '9999'"),
        ("0,1,,\n10,,,\n20,1,,\n", 3, "elevation_m is ''"),
        ("0,1,,\n10,1,smoth,\n20,1,,\n", 3, "no surface 'smoth'"),
        ("0,1,,\n10,1,,perhaps\n20,1,,\n", 3, "stop is 'perhaps'"),
        ("0,1,,\n10,1,\n20,1,,\n", 3, "3 values instead of 4"),
        ("0,1,,\n20,1,,\n10,1,,\n", 4, "does not grow: 10 m comes after 20 m"),
        ("0,1,,\n0,1,,\n10,1,,\n", 3, "does not grow"),
        ("5,1,,\n10,1,,\n", 2, "begins at 5 m"),
        ("0,1,,\n", 0, "fewer than two"),
        ("", 0, "fewer than two"),
        ('0,1,,\n"10,1,,\n', 3, "not CSV"),
    ],
)
def test_a_bad_row_names_its_line(rows: str, line: int, what: str) -> None:
    profile, problems = read_profile(HEAD + rows, "content/routes/x.csv")

    assert profile is None
    assert problems[0].line == line
    assert what in problems[0].what


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ("distance,elevation_m,surface,stop", "Did you mean distance_m"),
        ("distance_m,elevation_m,surface", "The first line is"),
        ("distance_m,elevation_m,surface,stop,stop", "The first line is"),
        ("", "The first line is"),
    ],
)
def test_a_wrong_head(head: str, words: str) -> None:
    profile, (problem,) = read_profile(head + "\n0,1,,\n", "x.csv")

    assert profile is None
    assert words in problem.mend
    assert problem.line == 1


def test_columns_may_stand_in_another_order() -> None:
    profile, problems = read_profile("stop,surface,elevation_m,distance_m\n,,3,0\n1,,4,20\n", "x")

    assert problems == []
    assert profile is not None
    assert (profile.elevation, profile.stops) == ((3.0, 4.0), (20.0,))


def test_a_cliff_is_a_warning() -> None:
    """Five metres up on ten metres of way is 50 %: usable, and likely a fault."""
    profile, (problem,) = read_profile(HEAD + "0,1,,\n10,5,,\n20,10,,\n", "x.csv")

    assert profile is not None
    assert problem.severity == "warning"
    assert (problem.line, "50%" in problem.what) == (4, True)


def test_a_thousand_bad_rows_do_not_drown_the_rest() -> None:
    _, problems = read_profile(HEAD + "a,b,c,d\n" * 1000, "x.csv")

    assert len(problems) == MOST_PROBLEMS + 1
    assert "more like these" in problems[-1].what
