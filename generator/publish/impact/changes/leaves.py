"""The parts in which two versions of a bike differ, each of which can be exchanged alone.

To find out which parts move a figure, it is also computed for the earlier bike with one part of the later, and for the
later bike with one part of the earlier. If either changes the figure, the figure depends on that part.
"""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from generator.specs.bike import Assist, Battery, Bike, Motor

SPLIT_CLASSES = (Bike, Battery, Motor, Assist)
"""Classes whose fields are separate parts. The fields of others (gears, wheels, claims …) mean little alone."""
WORDS_ONLY = {
    *("slug", "file", "digest", "name", "maker", "summary", "sizes", "note"),
    *("corrections", "revisions", "ridden", "sources"),
}
"""Fields of a bike that no figure reads."""
MOST_PARTS = 8
"""Most parts that are tried alone. If there are more, whole fields of the bike are tried; if too many of these, none."""

_KEYS = {"tyre_pressure": "tyres.pressure", "tread": "tyres.tread", "brake_cutoff": "brakes"}
"""Keys in the spec file of fields that have another name there."""


@dataclass(frozen=True)
class BikePart:
    """One part of a bike: a field, or a field of a field."""

    path: tuple[str, ...]
    """Names of fields, from the bike down."""

    @property
    def key(self) -> str:
        """The key in the spec file, or the beginning of several keys."""
        name = ".".join(self.path)
        return _KEYS.get(name, name)

    def replace_part(self, old: Bike, new: Bike) -> Bike:
        """The old bike with this part of the new one."""
        return _replace_field(old, new, self.path)


def find_changed_parts(old: Bike, new: Bike) -> list[BikePart]:
    """The parts in which two bikes differ, without those that no figure reads."""
    found = [BikePart(path) for path in _iterate_paths(old, new, ()) if path[0] not in WORDS_ONLY]
    if len(found) > MOST_PARTS:
        found = [BikePart((name,)) for name in dict.fromkeys(part.path[0] for part in found)]
    return found


def _iterate_paths(old: Any, new: Any, path: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """Paths of the fields that differ, at the finest level that `SPLIT_CLASSES` allows."""
    for field in fields(old):
        one, other = getattr(old, field.name), getattr(new, field.name)
        if one == other:
            continue
        here = (*path, field.name)
        if is_dataclass(one) and isinstance(one, SPLIT_CLASSES) and type(one) is type(other):
            yield from _iterate_paths(one, other, here)
        else:
            yield here


def _replace_field(old: Any, new: Any, path: tuple[str, ...]) -> Any:
    """A copy of `old` with the field at `path` taken from `new`."""
    name, *rest = path
    theirs = getattr(new, name)
    if rest:
        theirs = _replace_field(getattr(old, name), theirs, tuple(rest))
    return replace(old, **{name: theirs})
