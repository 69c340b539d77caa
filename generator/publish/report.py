"""Formats problems and summaries: for people, for scripts, and for the checks of a pull request."""

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict

from generator.publish.build.summary import Summary
from generator.specs.english import format_count
from generator.specs.problems import Problem, Severity, make_printable

SHOWN_PAGES = 12
"""Most pages that a summary names as added, gone or changed; the rest is counted."""

SEVERITIES: tuple[Severity, ...] = ("error", "warning", "note")
GITHUB_LEVELS = {"error": "error", "warning": "warning", "note": "notice"}
"""Name of each severity in workflow commands."""


def format_problems(problems: Sequence[Problem]) -> list[str]:
    """One line for each problem, sorted, and a last line with their count; empty if there are none."""
    return [*map(str, sorted(problems)), count_problems(problems)] if problems else []


def count_problems(problems: Sequence[Problem]) -> str:
    """Such as `2 errors, 1 warning in 2 files`."""
    counts = Counter(problem.severity for problem in problems)
    parts = [format_count(counts[kind], kind) for kind in SEVERITIES if counts[kind]]
    files = len({problem.file for problem in problems})
    return ", ".join(parts) + f" in {format_count(files, 'file')}"


def format_problems_as_json(problems: Sequence[Problem]) -> str:
    """A JSON list of the sorted problems."""
    return json.dumps([asdict(problem) for problem in sorted(problems)], indent=1)


def format_problems_for_github(problems: Sequence[Problem]) -> list[str]:
    """One workflow command for each problem, which GitHub shows beside the line in a pull request.

    Escaped as in GitHub's documentation, "Workflow commands": `%`, CR and LF everywhere, `:` and `,` also in
    properties.
    """
    return [
        f"::{GITHUB_LEVELS[problem.severity]} file={_escape_property(make_printable(problem.file))},line={max(problem.line, 1)}"
        f",col={max(problem.column, 1)}::{_escape_message(problem.sentences)}"
        for problem in sorted(problems)
    ]


def _escape_message(words: str) -> str:
    return words.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _escape_property(words: str) -> str:
    return _escape_message(words).replace(":", "%3A").replace(",", "%2C")


def format_summary(summary: Summary) -> Iterator[str]:
    """Lines on what was built and which pages differ from before."""
    sizes = f"{summary.bytes / 1e6:.1f} MB in {summary.seconds:.1f} s"
    parts = [
        format_count(summary.bikes, "bike"),
        format_count(summary.guides, "guide"),
        format_count(summary.terms, "term"),
        format_count(summary.figures, "figure"),
        format_count(summary.charts, "chart"),
        format_count(summary.pages, "page"),
    ]
    if summary.kept:
        yield f"Nothing has changed; {summary.out} is as it was: {', '.join(parts)}; {sizes}."
        return
    yield f"Built {summary.out}: {', '.join(parts)}; {sizes}."
    changes = summary.changes
    groups = {"added": changes.added, "gone": changes.gone, "changed": changes.changed}
    if not any(groups.values()):
        yield "No page is different from before."
    for word, pages in groups.items():
        if pages:
            more = f" and {len(pages) - SHOWN_PAGES} more" if len(pages) > SHOWN_PAGES else ""
            yield f"{format_count(len(pages), 'page')} {word}: {', '.join(pages[:SHOWN_PAGES])}{more}"
