"""The parts in which two versions of a bike differ, each of which can be changed alone.

That is how a cause is told from a bystander: the earlier bike with one part of the later is computed too, and the later
with one part of the earlier. A figure that either of them moves depends on that part.
"""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from generator.specs.bike import Assist, Battery, Bike, Motor

SPLIT = (Bike, Battery, Motor, Assist)
"""Of the rest (gears, wheels, claims …) one part means little without the others."""
WORDS_ONLY = {
    *("slug", "file", "digest", "name", "maker", "summary", "sizes", "note"),
    *("corrections", "revisions", "ridden", "sources"),
}
"""Fields of a bike that no figure reads."""
MOST = 8
"""Parts tried alone. With more, whole fields of the bike are; with too many of these, none."""

_KEYS = {"tyre_pressure": "tyres.pressure", "tread": "tyres.tread", "brake_cutoff": "brakes"}
"""Fields whose key in the spec file is another."""


@dataclass(frozen=True)
class Leaf:
    path: tuple[str, ...]
    """Names of fields, from the bike."""

    @property
    def key(self) -> str:
        """The key, or the beginning of the keys, in the spec file."""
        name = ".".join(self.path)
        return _KEYS.get(name, name)

    def put(self, old: Bike, new: Bike) -> Bike:
        """The old bike with this part of the new one."""
        return _put(old, new, self.path)


def leaves(old: Bike, new: Bike) -> list[Leaf]:
    """Where two bikes differ; parts that no figure reads are left out."""
    found = [Leaf(path) for path in _walk(old, new, ()) if path[0] not in WORDS_ONLY]
    if len(found) > MOST:
        found = [Leaf((name,)) for name in dict.fromkeys(leaf.path[0] for leaf in found)]
    return found


def _walk(old: Any, new: Any, path: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    for field in fields(old):
        one, other = getattr(old, field.name), getattr(new, field.name)
        if one == other:
            continue
        here = (*path, field.name)
        if is_dataclass(one) and isinstance(one, SPLIT) and type(one) is type(other):
            yield from _walk(one, other, here)
        else:
            yield here


def _put(old: Any, new: Any, path: tuple[str, ...]) -> Any:
    name, *rest = path
    theirs = getattr(new, name)
    if rest:
        theirs = _put(getattr(old, name), theirs, tuple(rest))
    return replace(old, **{name: theirs})
