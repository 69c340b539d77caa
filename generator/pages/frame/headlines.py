"""Which figures come first, and in which order: what a beginner asks."""

from collections.abc import Iterable

from generator.figures.model import Kind

ASKED = {
    "range": "How far on one charge?",
    "hills.steepest": "How steep a hill?",
    "hills.restart": "How steep to start on?",
    "spec.mass": "How heavy?",
    "spec.price": "How much?",
    "gears.spin_out_margin": "Do the gears keep up?",
    "assist.share": "How much do I work?",
    "assist.take_up_angle": "How soon does it help?",
}
"""An id, or a group for all of its headlines, with the question in a beginner's words."""


def headlines(kinds: Iterable[Kind]) -> list[Kind]:
    """The headline figures in the order in which they are asked; those of no known place last, as they came."""
    return sorted((kind for kind in kinds if kind.headline), key=_place)


def question(kind: Kind) -> str:
    """What a beginner asks to be told this figure; its title where nobody asks."""
    return ASKED.get(kind.id) or ASKED.get(kind.group) or kind.title


def _place(kind: Kind) -> int:
    names = (kind.id, kind.group)
    return next((place for place, asked in enumerate(ASKED) if asked in names), len(ASKED))
