"""Why a figure moved: the stated inputs that changed and that it depends on.

* Of a bike that changed in one part, that part; of one that changed in several, each part that moves the figure by itself.
* Of the content: the rider, route or price that is among the figure's inputs.
* Where neither data nor content changed: the program.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from generator.figures.model import Figure, Input
from generator.publish.impact.leaves import Leaf
from generator.publish.impact.model import KeyChange

PROGRAM = "the program"
MOST = 6
"""Keys told for one cause."""


@dataclass(frozen=True)
class Causes:
    """What may have moved the figures of one bike."""

    leaves: Sequence[Leaf] = ()
    keys: Sequence[KeyChange] = ()
    """Of the bike's file."""
    trials: Sequence["Trial"] = ()
    content: Sequence["ContentCause"] = ()


@dataclass(frozen=True)
class Trial:
    """What one part of a changed bike does: figures by id."""

    leaf: Leaf
    having: dict[str, Figure]
    """Of the earlier bike with this part of the later."""
    lacking: dict[str, Figure]
    """Of the later bike with this part of the earlier."""

    def matters(self, old: Figure | None, new: Figure | None) -> bool:
        """Does a figure move when the part comes first, or when it stays behind?"""
        figure = old or new
        assert figure
        return differ(old, self.having.get(figure.id)) or differ(new, self.lacking.get(figure.id))


@dataclass(frozen=True)
class ContentCause:
    """A rider, a route, or the prices in the settings, that changed."""

    kind: Literal["rider", "route", "money"]
    id: str
    names: frozenset[str]
    words: tuple[str, ...]


class Side(NamedTuple):
    """A figure in one state, if it has it there, and its inputs."""

    figure: Figure | None
    inputs: tuple[Input, ...] = ()


def reasons(before: Side, after: Side, causes: Causes) -> tuple[str, ...]:
    """The causes of one move, each a phrase such as `battery.energy: 500 Wh → 400 Wh (line 31)`."""
    leaves = causes.leaves
    if causes.trials:
        leaves = [
            trial.leaf for trial in causes.trials if trial.matters(before.figure, after.figure)
        ]
    found = [*_of_content(before, after, causes.content), *_of_leaves(leaves, causes.keys)]
    if not found:
        found = [words for cause in causes.content for words in cause.words]
        found += _of_leaves(causes.leaves, causes.keys)
    return tuple(dict.fromkeys(found)) or (PROGRAM,)


def _of_leaves(leaves: Sequence[Leaf], keys: Sequence[KeyChange]) -> Iterator[str]:
    for leaf in leaves:
        yield from names(leaf, keys)


def names(leaf: Leaf, keys: Sequence[KeyChange]) -> Iterator[str]:
    """How a part is named as a cause: by its changed keys."""
    mine = [str(key) for key in keys if under(key.key, leaf.key)]
    yield from mine[:MOST] or [f"{leaf.key}: changed"]
    if len(mine) > MOST:
        yield f"and {len(mine) - MOST} more keys of {leaf.key}"


def under(key: str, leaf: str) -> bool:
    return key == leaf or key.startswith(leaf + ".")


def differ(one: Figure | None, other: Figure | None) -> bool:
    """Do value, interval or basis differ? To the six digits that figures have."""
    if one is None or other is None:
        return one is not other
    return state(one) != state(other)


def state(figure: Figure) -> tuple[float, float, float, str, str]:
    return figure.value, figure.low, figure.high, figure.basis, figure.kind.unit.si


def _of_content(before: Side, after: Side, causes: Sequence[ContentCause]) -> Iterator[str]:
    figures = [side.figure for side in (before, after) if side.figure is not None]
    parts = {part for figure in figures for part in figure.id.split(".")}
    sources = {item.source for item in _changed_inputs(before, after)}
    for cause in causes:
        if cause.kind == "money":
            depends = any(_is_money(figure) for figure in figures)
        else:
            depends = any(f"{cause.kind}: {name}" in sources for name in cause.names)
            depends |= cause.kind == "route" and cause.id in parts
        if depends:
            yield from cause.words


def _is_money(figure: Figure) -> bool:
    return len(figure.kind.unit.si) == 3 and figure.kind.unit.si.isupper()


def _changed_inputs(before: Side, after: Side) -> Iterator[Input]:
    """Inputs that have another value than before, or are used on one side only."""
    sides = [{_facts(item): item for item in side.inputs} for side in (before, after)]
    for facts in sides[0].keys() ^ sides[1].keys():
        yield sides[0].get(facts) or sides[1][facts]


def _facts(item: Input) -> tuple[str, float, float, float, str]:
    return item.id, item.value, item.low, item.high, item.source
