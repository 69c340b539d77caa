"""The headline figures and their order, by the questions of a beginner."""

from collections.abc import Iterable

from generator.figures.model import FigureKind

HEADLINE_QUESTIONS = {
    "range": "How far on one charge?",
    "hills.steepest": "How steep a hill?",
    "hills.restart": "How steep to start on?",
    "spec.mass": "How heavy?",
    "spec.price": "How much?",
    "gears.spin_out_margin": "Do the gears keep up?",
    "assist.share": "How much do I work?",
    "assist.take_up_angle": "How soon does it help?",
}
"""The question in a beginner's words, by id of a figure or by group for all headlines of the group."""


def select_headlines(kinds: Iterable[FigureKind]) -> list[FigureKind]:
    """The headline figures in the order in which they are asked; those of no known place last, as they came."""
    return sorted((kind for kind in kinds if kind.headline), key=_find_rank)


def find_question(kind: FigureKind) -> str:
    """What a beginner asks to be told this figure; its title where nobody asks."""
    return HEADLINE_QUESTIONS.get(kind.id) or HEADLINE_QUESTIONS.get(kind.group) or kind.title


def _find_rank(kind: FigureKind) -> int:
    names = (kind.id, kind.group)
    return next(
        (place for place, asked in enumerate(HEADLINE_QUESTIONS) if asked in names),
        len(HEADLINE_QUESTIONS),
    )
