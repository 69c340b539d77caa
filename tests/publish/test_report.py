"""Problems and summaries as lines."""

import json

from generator.publish.build.summary import Changes, Summary, page_changes
from generator.publish.report import (
    format_problems,
    format_problems_as_json,
    format_problems_for_github,
    format_summary,
)
from generator.specs.problems import Problem

LATE = Problem("bikes/b.yaml", 9, 3, "the mass is missing", "Write `mass: 22 kg`")
EARLY = Problem("bikes/a.yaml", 2, 1, "10 % off: odd,\nreally", "Say why", severity="warning")


def test_problems_are_sorted_and_counted() -> None:
    assert format_problems([LATE, EARLY]) == [
        str(EARLY),
        str(LATE),
        "1 error, 1 warning in 2 files",
    ]
    assert format_problems([LATE] * 12)[-1] == "12 errors in 1 file"
    assert format_problems([]) == []


def test_problems_as_data() -> None:
    first = json.loads(format_problems_as_json([LATE, EARLY]))[0]

    assert first["file"] == "bikes/a.yaml"
    assert (first["line"], first["column"], first["severity"]) == (2, 1, "warning")
    assert json.loads(format_problems_as_json([])) == []


def test_problems_for_github_are_escaped() -> None:
    """Escapes as in GitHub's own toolkit: % everywhere, : and , in properties too; a line end is made visible before.
    Source: actions/toolkit, packages/core/src/command.ts; value from memory."""
    assert format_problems_for_github([EARLY]) == [
        "::warning file=bikes/a.yaml,line=2,col=1::10 %25 off: odd,\\nreally. Say why."
    ]
    odd = Problem("content/a,b:c.md", 0, 0, "odd", "No")
    assert format_problems_for_github([odd])[0].startswith(
        "::error file=content/a%2Cb%3Ac.md,line=1,col=1::"
    )


def test_changes_name_pages_only() -> None:
    before = {"index.html": "1", "old/index.html": "2", "same.html": "3", "data/figures.csv": "4"}
    now = {"index.html": "9", "new/index.html": "2", "same.html": "3", "data/figures.csv": "5"}

    assert page_changes(before, now) == Changes(
        added=("new/index.html",), gone=("old/index.html",), changed=("index.html",)
    )


def test_summary_counts_and_names_what_changed() -> None:
    changes = Changes(added=tuple(f"{number}.html" for number in range(14)))
    lines = list(
        format_summary(Summary("site", 1, 2, 3, 4, 5000, 6, 7_000_000, 8.04, changes=changes))
    )

    assert lines == [
        "Built site: 1 bike, 2 guides, 3 terms, 5,000 figures, 6 charts, 4 pages; 7.0 MB in 8.0 s.",
        "14 pages added: " + ", ".join(f"{number}.html" for number in range(12)) + " and 2 more",
    ]
