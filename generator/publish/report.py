"""Problems and summaries as lines: for people, for scripts, for a pull request's checks."""

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict

from generator.publish.build.summary import Summary
from generator.specs.problems import Problem, Severity, visible

SHOWN_PAGES = 12
"""Changed pages that a summary names, of each sort; the rest is counted."""

SEVERITIES: tuple[Severity, ...] = ("error", "warning", "note")
LEVELS = {"error": "error", "warning": "warning", "note": "notice"}
"""A problem's severity in workflow commands."""


def problem_lines(problems: Sequence[Problem]) -> list[str]:
    """One line for each problem, sorted, and a count."""
    return [*map(str, sorted(problems)), counted(problems)] if problems else []


def counted(problems: Sequence[Problem]) -> str:
    """Such as `2 errors, 1 warning in 2 files`."""
    counts = Counter(problem.severity for problem in problems)
    parts = [plural(counts[kind], kind) for kind in SEVERITIES if counts[kind]]
    files = len({problem.file for problem in problems})
    return ", ".join(parts) + f" in {plural(files, 'file')}"


def problems_as_json(problems: Sequence[Problem]) -> str:
    return json.dumps([asdict(problem) for problem in sorted(problems)], indent=1)


def problems_for_github(problems: Sequence[Problem]) -> list[str]:
    """Workflow commands, which GitHub shows beside the line of the pull request.

    Escapes as in GitHub's documentation, "Workflow commands": `%`, CR and LF everywhere, `:` and
    `,` in properties too.
    """
    return [
        f"::{LEVELS[problem.severity]} file={_property(visible(problem.file))},line={max(problem.line, 1)}"
        f",col={max(problem.column, 1)}::{_message(problem.sentences)}"
        for problem in sorted(problems)
    ]


def _message(words: str) -> str:
    return words.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(words: str) -> str:
    return _message(words).replace(":", "%3A").replace(",", "%2C")


def summary_lines(summary: Summary) -> Iterator[str]:
    """What was built, and what is different from before."""
    sizes = f"{summary.bytes / 1e6:.1f} MB in {summary.seconds:.1f} s"
    parts = [
        plural(summary.bikes, "bike"),
        plural(summary.guides, "guide"),
        plural(summary.terms, "term"),
        plural(summary.figures, "figure"),
        plural(summary.charts, "chart"),
        plural(summary.pages, "page"),
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
            yield f"{plural(len(pages), 'page')} {word}: {', '.join(pages[:SHOWN_PAGES])}{more}"


def plural(count: int, word: str) -> str:
    return f"{count:,} {word}" + ("" if count == 1 else "s")
