"""The content folder as a whole: its values, and every problem with its place."""

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from generator.content.read import read_content
from tests.content.publication import FILES, find_problems_after, find_problems_with, write_content
from tests.project import ROOT


def test_everything_is_read_in_si(tmp_path: Path) -> None:
    content, problems = read_content(write_content(tmp_path))

    assert problems == []
    assert content is not None
    everyday = content.riders[0]
    assert (everyday.mass, everyday.power, everyday.cadence) == (75.0, 80.0, 70.0)
    assert everyday.load == pytest.approx(4.98951607)  # 11 lb of 0.45359237 kg, agreement of 1959
    assert content.routes[0].temperature == pytest.approx(14.0)
    assert content.routes[0].distance == (0.0, 20.0, 40.0, 60.0)
    assert content.routes[0].surface == ("smooth", "smooth", "gravel", "gravel")
    assert content.routes[0].stops == (0.0, 60.0)
    assert content.settings.updated == date(2026, 11, 25)
    assert content.guides[0].checked == date(2026, 11, 20)
    assert [term.slug for term in content.terms] == ["cadence", "crank"]
    assert content.changelog is not None


def test_the_body_knows_its_line(tmp_path: Path) -> None:
    """Problems found later in a body can name their line of the file."""
    content, _ = read_content(write_content(tmp_path))

    assert content is not None
    guide = content.guides[0]
    lines = FILES["guides/first-guide.md"].split("\n")
    assert lines[guide.body_line - 1] == guide.body.split("\n")[0] == "Body of the guide."


def test_the_demo_is_sound() -> None:
    content, problems = read_content(ROOT)

    assert [str(problem) for problem in problems] == []
    assert content is not None


@pytest.mark.parametrize(
    ("name", "old", "new", "line", "what", "mend"),
    [
        ("site.yaml", "tagline", "tagine", 2, "no key 'tagine'", "'tagline'"),
        ("site.yaml", "title: The Invented Book\n", "", 1, "'title' is missing", "title"),
        ("site.yaml", "2026-11-25", "2026-13-25", 12, "'2026-13-25'", "year-month-day"),
        ("site.yaml", "book.example/", "book.example", 3, "address", "slash"),
        ("site.yaml", "https://", "javascript:", 3, "address", "https://"),
        ("site.yaml", "metric", "imperial", 8, "'imperial'", "metric, us"),
        ("site.yaml", "0.31", ".nan", 7, "'.nan'", ""),
        ("site.yaml", "0.31", "-1", 7, "too small", "0"),
        ("site.yaml", "0.31", "free", 7, "number", "0.31"),
        ("riders.yaml", "75 kg", "75", 4, "no unit", "75 kg"),
        ("riders.yaml", "80 W", "80 kg", 6, "mass", "W"),
        ("riders.yaml", "75 kg", "900 kg", 4, "more than 200 kg", ""),
        ("riders.yaml", "    default: true\n", "", 1, "no rider is the default", "default: true"),
        ("riders.yaml", "id: keen", "default: true, id: keen", 10, "second rider", "one rider"),
        ("riders.yaml", "id: keen", "id: everyday", 10, "twice, first on line 2", "its own"),
        ("riders.yaml", "90 rpm", "60 rpm", 8, "below cadence", "70 rpm"),
        ("riders.yaml", "id: keen", "id: Keen", 10, "id", "small letters"),
        ("sources.yaml", "memory", "heard", 4, "'heard'", "memory"),
        ("routes/routes.yaml", "flat.csv", "hill.csv", 4, "no file hill.csv", "right name"),
        ("routes/routes.yaml", "flat.csv", "../flat.csv", 4, "file", ".csv or .gpx"),
        ("routes/routes.yaml", "    default: true\n", "", 1, "no route is the default", ""),
        ("routes/routes.yaml", "2 m/s", "2", 6, "no unit", "m/s"),
        ("guides/first-guide.md", "order", "ordre", 4, "no key 'ordre'", "'order'"),
        ("guides/first-guide.md", "2026-11-20", "soon", 5, "not a date", "2026-10-04"),
        ("guides/first-guide.md", "title: First guide\n", "", 2, "'title' is missing", ""),
        ("guides/first-guide.md", "---\n", "", 1, "front matter", "line ---"),
        ("glossary/cadence.md", "[crank]", "[cranc]", 6, "no term 'cranc'", "'crank'"),
        ("glossary/cadence.md", "[crank]", "[cadence]", 6, "to itself", "another"),
        ("glossary/cadence.md", "pedalling rate", "crank", 3, "'cadence' already", "one of them"),
    ],
)  # fmt: skip
def test_a_problem_names_its_line_and_its_mend(
    tmp_path: Path, name: str, old: str, new: str, line: int, what: str, mend: str
) -> None:
    problems = find_problems_after(tmp_path, name, old, new)

    file = f"content/{name}"
    if "already" in what:  # reported at the second of the two, which is the crank's own title
        file, line = "content/glossary/crank.md", 2
    found = [problem for problem in problems if what in problem.what and mend in problem.mend]
    assert [(problem.file, problem.line, problem.severity) for problem in found] == [
        (file, line, "error")
    ], problems


def test_every_problem_of_every_file_comes_in_one_run(tmp_path: Path) -> None:
    root = write_content(
        tmp_path,
        **{
            "site.yaml": FILES["site.yaml"].replace("units", "unit"),
            "riders.yaml": FILES["riders.yaml"].replace("75 kg", "75"),
            "routes/flat.csv": "distance_m,elevation_m,surface,stop\n0,1,,\n0,x,mud,maybe\n",
            "guides/first-guide.md": "No front matter.\n",
            "glossary/crank.md": FILES["glossary/crank.md"].replace("group", "gruppe"),
        },
    )
    content, problems = read_content(root)

    assert content is None
    assert {problem.file for problem in problems} == {
        "content/site.yaml",
        "content/riders.yaml",
        "content/routes/flat.csv",
        "content/guides/first-guide.md",
        "content/glossary/crank.md",
    }
    assert problems == sorted(problems)


@pytest.mark.parametrize("name", ["site.yaml", "riders.yaml", "sources.yaml", "routes/routes.yaml"])
def test_a_missing_file_is_a_problem(tmp_path: Path, name: str) -> None:
    problems = find_problems_with(tmp_path, name, None)

    assert f"content/{name}" in [problem.file for problem in problems]


def test_an_empty_folder_is_a_list_of_problems(tmp_path: Path) -> None:
    content, problems = read_content(tmp_path)

    assert content is None
    assert len(problems) == 4


def test_a_term_that_is_wrong_is_still_there_for_others(tmp_path: Path) -> None:
    """One mistake gives one problem: `see: [crank]` is no problem because crank.md is broken."""
    problems = find_problems_after(tmp_path, "glossary/crank.md", "group: rider\n", "")

    assert len(problems) == 1


def test_reading_pulls_in_nothing_heavy() -> None:
    """Commands that only read must not pay for pandas, charts or templates."""
    command = (
        "import sys; from pathlib import Path; from generator.content.read import read_content;"
        f"early = 'jsonschema' in sys.modules; read_content(Path({str(ROOT)!r}));"
        "heavy = {'pandas', 'altair', 'jinja2', 'markdown', 'gpxpy'} & set(sys.modules);"
        "print(early, sorted(heavy))"
    )
    done = subprocess.run(
        [sys.executable, "-c", command], cwd=ROOT, capture_output=True, text=True, check=True
    )

    assert done.stdout.strip() == "False []"


def test_a_term_names_figures_inputs_and_a_bike_with_their_lines(tmp_path: Path) -> None:
    """The names follow the example's own seven lines of front matter."""
    named = "figures: [gears.spin_out_margin]\ninputs:\n  - tyre.crr\nbike: invor-beta\n---\nBody."
    words = FILES["glossary/cadence.md"].replace("---\nBody.", named)
    content, problems = read_content(write_content(tmp_path, **{"glossary/cadence.md": words}))
    assert content is not None, problems
    term = next(term for term in content.terms if term.slug == "cadence")

    assert problems == []
    assert (term.figures, term.inputs, term.bike) == (
        ("gears.spin_out_margin",),
        ("tyre.crr",),
        "invor-beta",
    )
    assert term.lines == (("gears.spin_out_margin", 8), ("tyre.crr", 10), ("invor-beta", 11))
