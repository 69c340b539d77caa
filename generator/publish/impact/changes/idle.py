"""Finds changed keys of a bike that moved no figure, such as a charge where a stated energy takes precedence."""

import functools
import math
from collections.abc import Sequence

from generator.publish.impact.changes.leaves import BikePart, find_changed_parts
from generator.publish.impact.changes.why import describe_part, is_key_within
from generator.publish.impact.model import FigureMove, KeyChange
from generator.specs.bike import Bike, Stated


def find_idle_keys(
    before: Bike, after: Bike, keys: Sequence[KeyChange], moves: Sequence[FigureMove]
) -> tuple[str, ...]:
    """Changed keys of a bike that are not among the causes of any move.

    Texts, and quantities that are only written in another way, do not count.
    """
    named = {cause for move in moves if move.bike == after.slug for cause in move.why}
    still = [
        part
        for part in find_changed_parts(before, after)
        if not named & set(describe_part(part, keys)) and not _is_same_quantity(before, after, part)
    ]
    return tuple(key.key for key in keys if any(is_key_within(key.key, part.key) for part in still))


def _is_same_quantity(before: Bike, after: Bike, part: BikePart) -> bool:
    """Is the quantity equal in both versions, such as 26.1 kg and 26100 g? Compared to six digits, as figures are."""
    old, new = (functools.reduce(getattr, part.path, bike) for bike in (before, after))
    if not isinstance(old, Stated) or not isinstance(new, Stated):
        return False
    return math.isclose(old.value, new.value, rel_tol=1e-6)
