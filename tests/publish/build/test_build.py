"""The build from end to end, on a small publication, by the command that users type."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from generator.publish.build.build import build
from generator.publish.build.summary import Changes, Summary
from generator.specs.problems import ProblemsFound
from tests.project import ROOT
from tests.publish.site_on_disk import site_of


def start(root: Path, out: Path, **environment: str) -> subprocess.Popen[str]:
    """A build in its own process, not waited for."""
    return subprocess.Popen(
        [sys.executable, "-m", "generator", "build", "--root", str(root), "--out", str(out)],
        cwd=ROOT,
        env=os.environ | environment,
        text=True,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )


def mentions(site: dict[str, bytes], word: str) -> list[str]:
    return [path for path, data in site.items() if word in path or word.encode() in data]


def test_a_build_counts_what_it_made(
    first_build: tuple[Path, Summary, list[float]],
) -> None:
    """The summary holds the counts, and all pages are new; progress runs from 0 to 1."""
    root, summary, shares = first_build
    site = site_of(root / "site")

    assert (summary.bikes, summary.guides, summary.terms) == (2, 1, 1)
    assert summary.pages == len([path for path in site if path.endswith(".html")])
    assert set(summary.changes.added) == {path for path in site if path.endswith(".html")}
    assert summary.figures == site["data/figures.csv"].decode().strip().count("\n")
    assert summary.bytes == sum(len(data) for path, data in site.items() if path != ".built.json")
    assert shares == sorted(shares)
    assert (shares[0], shares[-1]) == (0, 1)


def test_a_removed_bike_is_gone(built: Path) -> None:
    """With its file go its pages, its rows and every link to it."""
    assert len(mentions(site_of(built / "site"), "pellimor-trial")) > 3

    (built / "bikes" / "pellimor-trial.yaml").unlink()
    changes = build(built).changes

    assert mentions(site_of(built / "site"), "pellimor-trial") == []
    assert "bikes/pellimor-trial/index.html" in changes.gone
    assert "bikes/index.html" in changes.changed


@pytest.mark.parametrize(
    ("file", "line"),
    [
        ("bikes/pellimor-trial.yaml", "mass: a lot"),
        ("content/guides/two.md", '{{ figure("pellimor-fenno", "range.nowhere") }}'),
        ("content/guides/two.md", '{{ bike("no-such-bike") }}'),
    ],
)
def test_a_failing_build_changes_nothing(built: Path, file: str, line: str) -> None:
    """A mistake in a spec file or a text is named, and the site is byte for byte as before."""
    before = site_of(built / "site")
    path = built / file
    text = path.read_text("utf-8")
    path.write_text(text.replace("mass: 26.1 kg", line) if "mass" in line else text + line + "\n")

    with pytest.raises(ProblemsFound) as found:
        build(built)

    assert any(problem.file == file and problem.line > 0 for problem in found.value.problems)
    assert site_of(built / "site") == before
    assert not list(built.glob(".site*"))


def test_builds_are_the_same_to_the_byte(root: Path) -> None:
    """Whatever the hash seed, the time zone, the language and the order of the folder."""
    one = start(root, root / "one", PYTHONHASHSEED="1", TZ="Pacific/Auckland", LC_ALL="C")
    two = start(root, root / "two", PYTHONHASHSEED="2", TZ="America/Lima", LC_ALL="C.UTF-8")
    for process in (one, two):
        _, complaint = process.communicate()
        assert process.returncode == 0, complaint

    assert site_of(root / "one") == site_of(root / "two")


def test_two_builds_at_once_of_one_folder(root: Path) -> None:
    """One goes through; the other says who is at work, or comes when that is done."""
    both = [start(root, root / "site") for _ in range(2)]
    ends = [(process.communicate()[1], process.returncode) for process in both]

    assert 0 in [code for _, code in ends]
    for complaint, code in ends:
        assert code == 0 or "is building this folder" in complaint
    assert site_of(root / "site")
    assert not list(root.glob(".site*"))


def test_no_clock_in_the_site(built: Path) -> None:
    """A build in another century is the build of today, and changes no page."""
    before = site_of(built / "site")
    program = (
        "import sys, time; from pathlib import Path;"
        "time.time = lambda: 4e9;"
        "from generator.publish.build.build import build; print(build(Path(sys.argv[1])).changes)"
    )
    ended = subprocess.run(
        [sys.executable, "-c", program, str(built)],
        cwd=ROOT,
        text=True,
        check=True,
        capture_output=True,
    )

    assert site_of(built / "site") == before
    assert ended.stdout.strip() == str(Changes())
