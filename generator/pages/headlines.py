"""Which figures come first, and in which order: what a beginner asks."""

from collections.abc import Iterable

from generator.figures.model import Kind

ASKED = (
    "range",
    "spec.price",
    "hills.steepest",
    "spec.mass",
    "gears.spin_out_margin",
    "assist.share",
    "assist.take_up_angle",
)
"""How far, how much, how steep, how heavy, and then the feel. An id, or a group for all of its headlines."""


def headlines(kinds: Iterable[Kind]) -> list[Kind]:
    """The headline figures in the order in which they are asked; those of no known place last, as they came."""
    return sorted((kind for kind in kinds if kind.headline), key=_place)


def _place(kind: Kind) -> int:
    names = (kind.id, kind.group)
    return next((place for place, asked in enumerate(ASKED) if asked in names), len(ASKED))
