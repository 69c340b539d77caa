"""`vet`: strictness, dates, comparison with other bikes, and which libraries it loads."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from generator.publish.today import EPOCH, choose_day
from generator.publish.vet.check import check_publication
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
    """An unknown rim size is a warning, which fails only with `--strict`."""
    path = changed(root, "47-622", "47-623")
    loose = generator("vet", str(path), "--root", str(root))
    strict = generator("vet", str(path), "--root", str(root), "--strict")
    assert (loose.returncode, strict.returncode) == (0, 1)
    assert loose.stderr == strict.stderr
    assert loose.stderr.endswith("1 warning in 1 file\n")


def test_notes_are_for_whoever_works_on_the_file(root: Path) -> None:
    """Notes never fail a check, and a check of the whole publication has none."""
    path = changed(root, "list: 3290 EUR", "list: 3290 USD")
    alone = generator("vet", str(path), "--root", str(root), "--strict", "--format", "github")
    assert alone.returncode == 0
    assert alone.stdout.startswith(f"::notice file={FENNO},line=13,col=9::the price is in USD")
    assert not [problem for problem in check_publication(root) if problem.severity == "note"]


def test_dates_are_judged_by_the_day_that_is_named(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The day is --today, else SOURCE_DATE_EPOCH, else `updated` of the publication; never the clock's."""
    path = root / FENNO
    assert check_publication(root, [path]) == []
    late = generator("vet", str(path), "--root", str(root), "--today", "2027-06-01")
    assert "the price was seen on 2026-10-04, 240 days before 2027-06-01" in late.stderr
    monkeypatch.setenv(EPOCH, "1811808000")
    assert [problem for problem in check_publication(root, [path]) if "2027-06-01" in problem.what]
    assert generator("vet", "--today", "1 June", "--root", str(root)).returncode == 2


def test_days_of_an_epoch() -> None:
    """1 000 000 000 seconds were reached on 9 September 2001, a widely known date; value from memory."""
    found = choose_day(None, {EPOCH: "1000000000"}, None)
    assert found is not None
    assert (found.on.isoformat(), found.exact) == ("2001-09-09", True)
    assert choose_day(None, {}, None) is None
    with pytest.raises(ProblemsFound, match="not a number of seconds"):
        choose_day(None, {EPOCH: "soon"}, None)


def test_a_twin_is_found_from_one_file(root: Path) -> None:
    """The warning names the other file, which is found by its `name:` line."""
    twin = root / "bikes" / "pellimor-fenno-2.yaml"
    twin.write_text(
        (root / FENNO).read_text("utf-8").replace("name: Fenno", 'name: "fenno" # x', 1)
    )
    (problem,) = check_publication(root, [twin])
    assert (problem.file, problem.severity) == ("bikes/pellimor-fenno-2.yaml", "warning")
    assert f"is described in {FENNO} too" in problem.what
    both = check_publication(root, [root / FENNO, twin])
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
    """The unchanged file is not odd; `mass: 9 kg` among bikes of 15 to 31 kg is, and is reported on its line."""
    path = demo / "bikes" / "neshwick-arrum.yaml"
    assert check_publication(demo, [path], figures=True) == []
    text = path.read_text("utf-8").replace("mass: 22.9 kg", "mass: 9 kg", 1)
    path.write_text(text, "utf-8")

    ended = generator("vet", str(path), "--root", str(demo), "--figures", "--format", "json")

    (found,) = json.loads(ended.stdout)
    assert ended.returncode == 0
    line = text.splitlines().index("mass: 9 kg") + 1
    assert (found["line"], found["column"], found["severity"]) == (line, 7, "warning")
    assert "comparable bikes" in found["what"]
    assert "without the battery?" in found["mend"]
    assert check_publication(demo, [path]) == []


def test_one_file_loads_nothing_heavy() -> None:
    """Neither what computes nor what renders is wanted for a look at one file."""
    program = (
        "import sys\n"
        "from pathlib import Path\n"
        "from generator.publish.vet.check import check_publication\n"
        f"assert check_publication(Path(), [Path('{FENNO}')]) == []\n"
        "assert not {'numpy', 'pandas', 'jinja2'} & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", program], cwd=ROOT, check=True)
