"""Changed keys of a bike that moved no figure, such as a charge beside a stated energy, which counts."""

import functools
import math
from collections.abc import Sequence

from generator.publish.impact.leaves import Leaf, leaves
from generator.publish.impact.model import KeyChange, Move
from generator.publish.impact.why import names, under
from generator.specs.bike import Bike, Stated


def idle(
    before: Bike, after: Bike, keys: Sequence[KeyChange], moves: Sequence[Move]
) -> tuple[str, ...]:
    """Keys in which the two versions differ and that no move names among its causes.

    Mere words, and a quantity that is only written otherwise, are none.
    """
    named = {cause for move in moves if move.bike == after.slug for cause in move.why}
    still = [
        leaf
        for leaf in leaves(before, after)
        if not named & set(names(leaf, keys)) and not _same_quantity(before, after, leaf)
    ]
    return tuple(key.key for key in keys if any(under(key.key, leaf.key) for leaf in still))


def _same_quantity(before: Bike, after: Bike, leaf: Leaf) -> bool:
    """Is it one number, such as 26.1 kg and 26100 g? To the six digits that figures have."""
    old, new = (functools.reduce(getattr, leaf.path, bike) for bike in (before, after))
    if not isinstance(old, Stated) or not isinstance(new, Stated):
        return False
    return math.isclose(old.value, new.value, rel_tol=1e-6)
