"""Formats the report, and decides whether it is a failure.

* format_report      the report as text, Markdown or JSON
* reaches_threshold  does the report reach a threshold?
"""

from generator.publish.impact.model import Impact
from generator.publish.impact.report.as_json import format_json
from generator.publish.impact.report.as_markdown import format_markdown
from generator.publish.impact.report.as_text import format_text

FORMATTERS = {"text": format_text, "markdown": format_markdown, "json": format_json}
THRESHOLDS = ("none", "errors", "warnings", "ranks", "figures")
"""From the most lenient: never; errors in the later state; new warnings; swapped ranks; figures that read differently
or sentences that are no longer true. Each includes those before it."""


def format_report(impact: Impact, style: str) -> str:
    """The report in one of `FORMATTERS`."""
    return FORMATTERS[style](impact)


def reaches_threshold(impact: Impact, threshold: str) -> bool:
    """Does the report reach this one of `THRESHOLDS`, or one before it?"""
    reached = (
        False,
        bool(impact.errors),
        bool(impact.new_problems),
        bool(impact.swaps),
        bool(impact.visible_moves) or bool(impact.sentences),
    )
    return any(reached[: THRESHOLDS.index(threshold) + 1])
