"""The report in the wanted form, and when it is a failure.

* told       as text, Markdown or JSON
* fails      does it reach a threshold?
"""

from generator.publish.impact.as_json import as_json
from generator.publish.impact.as_markdown import as_markdown
from generator.publish.impact.as_text import as_text
from generator.publish.impact.model import Impact

STYLES = {"text": as_text, "markdown": as_markdown, "json": as_json}
THRESHOLDS = ("none", "errors", "warnings", "ranks", "figures")
"""From the most lenient: never; errors in the later data; new warnings; swapped ranks; figures that read otherwise
or sentences that hold no more. Each takes in those before it."""


def told(impact: Impact, style: str) -> str:
    """The report as one of STYLES."""
    return STYLES[style](impact)


def fails(impact: Impact, threshold: str) -> bool:
    """Does the report reach one of THRESHOLDS?"""
    reached = (
        False,
        bool(impact.errors),
        bool(impact.new_problems),
        bool(impact.swaps),
        bool(impact.shown) or bool(impact.sentences),
    )
    return any(reached[: THRESHOLDS.index(threshold) + 1])
