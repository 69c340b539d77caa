"""`impact --record`: what it writes and refuses, and that two runs write the same bytes."""

import os
from datetime import date
from pathlib import Path

import pytest

from generator.content.releases import parse_release
from generator.publish.impact.compare import assess_impact
from generator.publish.impact.record import record_release
from generator.publish.trace import trace_figures
from generator.publish.vet.check import check_publication
from generator.specs.problems import ProblemsFound
from tests.publish.impact.impacts import FENNO, TRIAL, copy_of, rewrite, spec
from tests.publish.processes import generator

FIRST, SECOND = date(2026, 11, 24), date(2026, 11, 25)
LIGHT = """---
title: Light bikes
summary: For the stairs.
where:
  mass: at most 25 kg
show: [spec.mass]
---

Bikes to carry.
"""


def file_of(root: Path, day: date = FIRST) -> Path:
    return root / "content" / "releases" / f"{day}.json"


def listed(root: Path, text: str = LIGHT) -> Path:
    path = root / "content" / "lists" / "light.md"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, "utf-8")
    return path


def refused(root: Path, day: date) -> str:
    with pytest.raises(ProblemsFound) as found:
        record_release(root, day)
    return str(found.value)


def test_a_record_holds_what_trace_says(root: Path) -> None:
    """Each figure to its last digit, as computed for one bike alone."""
    listed(root)
    lines = record_release(root, FIRST)
    release, problem = parse_release(file_of(root).read_text("utf-8"), str(FIRST), "")

    assert problem is None
    assert release is not None
    for slug in (FENNO, TRIAL):
        assert release.figures[slug] == {
            each.id: (each.value, each.low, each.high) for each, _ in trace_figures(root, slug)
        }
    assert release.fields[FENNO]["name"] == "Pellimor Fenno"
    assert set(release.lists) == {"light"}
    assert "Recorded: 2 bikes" in lines[0]
    assert lines[1] == "It is the first record."


def test_the_same_bytes_in_another_place(root: Path) -> None:
    other = copy_of(root)
    record_release(root, FIRST)
    record_release(other, FIRST)

    assert file_of(root).read_bytes() == file_of(other).read_bytes()
    assert not list(file_of(root).parent.glob(".*"))


def test_a_day_is_never_written_anew(root: Path) -> None:
    record_release(root, FIRST)
    before = file_of(root).read_bytes()

    assert "Recorded before, and the same" in record_release(root, FIRST)[0]

    rewrite(spec(root), ("mass: ", "mass: 1"))

    assert "says something else" in refused(root, FIRST)
    assert file_of(root).read_bytes() == before


def test_days_go_forward(root: Path) -> None:
    record_release(root, SECOND)

    assert "a later record, of 2026-11-25" in refused(root, FIRST)
    assert not file_of(root).exists()


def test_what_moved_is_said(root: Path) -> None:
    """The changed figure as it reads, the removed bike, and the list that a bike leaves."""
    light = spec(root).read_text("utf-8")
    mass = next(line for line in light.split("\n") if line.startswith("mass:"))
    rewrite(spec(root), (mass, "mass: 24 kg"))
    listed(root)
    record_release(root, FIRST)
    rewrite(spec(root), ("mass: 24 kg", "mass: 30 kg"))
    spec(root, TRIAL).unlink()
    lines = [line.replace("\xa0", " ") for line in record_release(root, SECOND)]

    assert "Since 2026-11-24:" in lines
    assert f"  gone: {TRIAL}" in lines
    assert f"  {FENNO} leaves light" in lines
    assert any(line.startswith(f"  {FENNO}: ") and "Mass 24 kg → 30 kg" in line for line in lines)


def test_errors_in_texts_stop_it(root: Path) -> None:
    """A site that cannot be built was not published."""
    listed(root, LIGHT.replace("mass: at most", "maas: at most"))

    assert "content/lists/light.md:5:3: there is no figure or field 'maas'" in refused(root, FIRST)
    assert not file_of(root).exists()


def test_a_folder_behind_a_link_is_refused(root: Path, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    os.symlink(elsewhere, root / "content" / "releases")

    assert "outside the folder content/" in refused(root, FIRST)
    assert not list(elsewhere.iterdir())


def test_the_command(root: Path) -> None:
    """Exit codes: 0 recorded, 1 refused, 2 mistyped; never a traceback."""
    done = generator("impact", "--record", "2026-11-24", "--root", str(root))
    earlier = generator("impact", "--record", "2026-11-01", "--root", str(root))
    typed = [
        generator("impact", *words, "--root", str(root))
        for words in (
            ["--record", "yesterday"],
            ["--record", "2026-02-30"],
            ["main", "--record", "2026-11-26"],
            [],
        )
    ]

    assert done.returncode == 0, done.stderr
    assert "Recorded: 2 bikes" in done.stdout
    assert earlier.returncode == 1
    assert "later record" in earlier.stderr
    assert [each.returncode for each in typed] == [2, 2, 2, 2]
    assert not [each.stderr for each in (done, earlier, *typed) if "Traceback" in each.stderr]


def test_lists_in_vet(root: Path) -> None:
    """Errors in the rule and in the figures are at their lines; a list that no bike fits gives a warning."""
    listed(root, LIGHT.replace("at most 25 kg", "at most 3 kg"))
    (empty,) = [problem for problem in check_publication(root) if "lists" in problem.file]

    assert (empty.severity, empty.line) == ("warning", 5)
    assert "no bike fits the rule" in empty.what

    listed(
        root,
        LIGHT.replace("at most 25 kg", "25 kg").replace("[spec.mass]", "[spec.mass, spec.mas]"),
    )
    wrong = [problem for problem in check_publication(root) if "lists" in problem.file]

    assert [(each.severity, each.line) for each in wrong] == [("error", 5), ("error", 6)]
    assert "at most 25 kg" in wrong[0].mend
    assert "spec.mass" in wrong[1].mend


def test_lists_in_the_impact_report(root: Path) -> None:
    """The page of a new list, and bikes that leave a list when its rule changes."""
    before = copy_of(root)
    listed(root)
    report = assess_impact(root, str(before))

    assert "lists/light/index.html" in report.pages.added

    listed(before, LIGHT.replace("25 kg", "99 kg"))
    listed(root, LIGHT.replace("at most 25 kg", "at most 3 kg"))
    left = {
        (each.what, each.members)
        for each in assess_impact(root, str(before)).lists
        if each.list == "Running list: Light bikes"
    }

    assert left == {("left", (FENNO,)), ("left", (TRIAL,))}


@pytest.mark.parametrize(
    ("today", "limit", "told"),
    [
        (date(2027, 5, 30), "", False),
        (date(2027, 5, 31), "", True),
        (date(2026, 12, 11), "stale_guide_days: 10\n", False),
        (date(2026, 12, 12), "stale_guide_days: 10\n", True),
        (date(2026, 11, 30), "", True),
    ],
)
def test_guides_that_nobody_has_checked(root: Path, today: date, limit: str, told: bool) -> None:
    """By default after 180 days: 30 May 2027 is the 180th after 1 December. A check in the future is reported too."""
    rewrite(root / "content/guides/two.md", ("---\ntitle", "---\nchecked: 2026-12-01\ntitle"))
    settings = root / "content/site.yaml"
    lines = [line for line in settings.read_text("utf-8").split("\n") if "stale_guide" not in line]
    settings.write_text("\n".join(lines) + "\n" + limit, "utf-8")
    found = [
        problem for problem in check_publication(root, on=today) if problem.file.endswith("two.md")
    ]

    assert [(each.severity, each.line) for each in found] == ([("warning", 2)] if told else [])
