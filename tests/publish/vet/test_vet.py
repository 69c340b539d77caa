"""`vet` as an editor meets it: strictness, dates, neighbours, speed of what it loads."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from generator.publish.today import EPOCH, today
from generator.publish.vet.check import check
from generator.specs.problems import ProblemsFound
from tests.project import ROOT
from tests.publish.processes import generator

FENNO = "bikes/pellimor-fenno.yaml"


def changed(root: Path, before: str, after: str) -> Path:
    path = root / FENNO
    text = path.read_text("utf-8")
    assert before in text
    path.write_text(text.replace(before, after, 1), "utf-8")
    return path


def test_strict_makes_warnings_fail(root: Path) -> None:
    """A missing charger is nothing; a rim that nobody knows is a warning."""
    path = changed(root, "47-622", "47-623")
    loose = generator("vet", str(path), "--root", str(root))
    strict = generator("vet", str(path), "--root", str(root), "--strict")
    assert (loose.returncode, strict.returncode) == (0, 1)
    assert loose.stderr == strict.stderr
    assert loose.stderr.endswith("1 warning in 1 file\n")


def test_notes_are_for_whoever_works_on_the_file(root: Path) -> None:
    """They never fail, and the whole publication is checked without them."""
    path = changed(root, "list: 3290 EUR", "list: 3290 USD")
    alone = generator("vet", str(path), "--root", str(root), "--strict", "--format", "github")
    assert alone.returncode == 0
    assert alone.stdout.startswith(f"::notice file={FENNO},line=13,col=9::the price is in USD")
    assert not [problem for problem in check(root) if problem.severity == "note"]


def test_dates_are_judged_by_the_day_that_is_named(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """--today, else SOURCE_DATE_EPOCH, else `updated` of the publication; never the clock."""
    path = root / FENNO
    assert check(root, [path]) == []
    late = generator("vet", str(path), "--root", str(root), "--today", "2027-06-01")
    assert "the price was seen on 2026-10-04, 240 days before 2027-06-01" in late.stderr
    monkeypatch.setenv(EPOCH, "1811808000")
    assert [problem for problem in check(root, [path]) if "2027-06-01" in problem.what]
    assert generator("vet", "--today", "1 June", "--root", str(root)).returncode == 2


def test_days_of_an_epoch() -> None:
    """1 000 000 000 seconds were reached on 9 September 2001, as widely told; value from memory."""
    found = today(None, {EPOCH: "1000000000"}, None)
    assert found is not None
    assert (found.on.isoformat(), found.exact) == ("2001-09-09", True)
    assert today(None, {}, None) is None
    with pytest.raises(ProblemsFound, match="not a number of seconds"):
        today(None, {EPOCH: "soon"}, None)


def test_a_twin_is_found_from_one_file(root: Path) -> None:
    """The other file is named, and read only because its name line says the same."""
    twin = root / "bikes" / "pellimor-fenno-2.yaml"
    twin.write_text(
        (root / FENNO).read_text("utf-8").replace("name: Fenno", 'name: "fenno" # x', 1)
    )
    (problem,) = check(root, [twin])
    assert (problem.file, problem.severity) == ("bikes/pellimor-fenno-2.yaml", "warning")
    assert f"is described in {FENNO} too" in problem.what
    both = check(root, [root / FENNO, twin])
    assert [each.file for each in both] == ["bikes/pellimor-fenno-2.yaml"]


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """A copy of the demo's bikes, riders and routes."""
    shutil.copytree(ROOT / "bikes", tmp_path / "bikes")
    shutil.copytree(
        ROOT / "content",
        tmp_path / "content",
        ignore=shutil.ignore_patterns("guides", "glossary", "pages"),
    )
    return tmp_path


def test_figures_are_set_beside_the_closest_bikes(demo: Path) -> None:
    """Nothing odd in a sound file; `mass: 9 kg` among bikes of 15 to 31 kg is, on its line."""
    path = demo / "bikes" / "neshwick-arrum.yaml"
    assert check(demo, [path], figures=True) == []
    text = path.read_text("utf-8").replace("mass: 22.9 kg", "mass: 9 kg", 1)
    path.write_text(text, "utf-8")

    ended = generator("vet", str(path), "--root", str(demo), "--figures", "--format", "json")

    (found,) = json.loads(ended.stdout)
    assert ended.returncode == 0
    line = text.splitlines().index("mass: 9 kg") + 1
    assert (found["line"], found["column"], found["severity"]) == (line, 7, "warning")
    assert "comparable bikes" in found["what"]
    assert "without the battery?" in found["mend"]
    assert check(demo, [path]) == []


def test_a_sound_file_loads_no_validator() -> None:
    """The library takes a tenth of a second, and is wanted for words only."""
    program = (
        "import sys\n"
        "from pathlib import Path\n"
        "from generator.publish.vet.check import check\n"
        f"assert check(Path(), [Path('{FENNO}')]) == []\n"
        "assert not {'jsonschema', 'numpy', 'jinja2'} & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", program], cwd=ROOT, check=True)
