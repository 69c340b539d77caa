"""Finds the causes of a change of a figure: the changed inputs that it depends on.

* If the bike changed in one part, that part; if in several, each part that changes the figure by itself.
* If the content changed, the rider, route or price that is among the figure's inputs.
* If neither changed, the program.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from generator.figures.model import Figure, UsedInput
from generator.publish.impact.changes.leaves import BikePart
from generator.publish.impact.model import KeyChange

PROGRAM_CAUSE = "the program"
MOST_KEYS = 6
"""Changed keys listed for one cause."""


@dataclass(frozen=True)
class Causes:
    """Everything that may have changed the figures of one bike."""

    parts: Sequence[BikePart] = ()
    """Changed parts of the bike."""
    keys: Sequence[KeyChange] = ()
    """Changed keys of the bike's file."""
    trials: Sequence["PartTrial"] = ()
    content: Sequence["ContentCause"] = ()


@dataclass(frozen=True)
class PartTrial:
    """The effect of one part of a changed bike on its figures, which are given by id."""

    part: BikePart
    with_part: dict[str, Figure]
    """Figures of the earlier bike with this part of the later one."""
    without_part: dict[str, Figure]
    """Figures of the later bike with this part of the earlier one."""

    def moves_figure(self, old: Figure | None, new: Figure | None) -> bool:
        """Does the figure change if only this part changes, or if all others do?"""
        figure = old or new
        assert figure
        return figures_differ(old, self.with_part.get(figure.id)) or figures_differ(
            new, self.without_part.get(figure.id)
        )


@dataclass(frozen=True)
class ContentCause:
    """A rider, a route or the money settings, if changed."""

    kind: Literal["rider", "route", "money"]
    id: str
    """Id of the rider or route; empty for money."""
    names: frozenset[str]
    """Earlier and later names of the rider or route."""
    words: tuple[str, ...]
    """The changed keys in words."""


class FigureState(NamedTuple):
    """A figure in one state, None if it is lacking there, and its inputs."""

    figure: Figure | None
    inputs: tuple[UsedInput, ...] = ()


def explain_move(before: FigureState, after: FigureState, causes: Causes) -> tuple[str, ...]:
    """The causes of one changed figure, each a phrase such as `battery.energy: 500 Wh → 400 Wh (line 31)`."""
    parts = causes.parts
    if causes.trials:
        parts = [
            trial.part for trial in causes.trials if trial.moves_figure(before.figure, after.figure)
        ]
    found = [
        *_match_content_causes(before, after, causes.content),
        *_describe_parts(parts, causes.keys),
    ]
    if not found:
        found = [words for cause in causes.content for words in cause.words]
        found += _describe_parts(causes.parts, causes.keys)
    return tuple(dict.fromkeys(found)) or (PROGRAM_CAUSE,)


def _describe_parts(parts: Sequence[BikePart], keys: Sequence[KeyChange]) -> Iterator[str]:
    """Describe parts as causes."""
    for part in parts:
        yield from describe_part(part, keys)


def describe_part(part: BikePart, keys: Sequence[KeyChange]) -> Iterator[str]:
    """Describe a part as a cause, by its changed keys."""
    mine = [str(key) for key in keys if is_key_within(key.key, part.key)]
    yield from mine[:MOST_KEYS] or [f"{part.key}: changed"]
    if len(mine) > MOST_KEYS:
        yield f"and {len(mine) - MOST_KEYS} more keys of {part.key}"


def is_key_within(key: str, part: str) -> bool:
    """Is the dotted key that of the part, or below it?"""
    return key == part or key.startswith(part + ".")


def figures_differ(one: Figure | None, other: Figure | None) -> bool:
    """Do value, interval, basis or unit differ, to the six digits that figures have?"""
    if one is None or other is None:
        return one is not other
    return extract_values(one) != extract_values(other)


def extract_values(figure: Figure) -> tuple[float, float, float, str, str]:
    """All of a figure that makes a difference: value, low, high, basis and unit."""
    return figure.value, figure.low, figure.high, figure.basis, figure.kind.unit.si


def _match_content_causes(
    before: FigureState, after: FigureState, causes: Sequence[ContentCause]
) -> Iterator[str]:
    """The changes of content that the figure depends on, in words."""
    figures = [side.figure for side in (before, after) if side.figure is not None]
    parts = {part for figure in figures for part in figure.id.split(".")}
    sources = {item.source for item in _find_changed_inputs(before, after)}
    for cause in causes:
        if cause.kind == "money":
            depends = any(_has_currency(figure) for figure in figures)
        else:
            depends = any(f"{cause.kind}: {name}" in sources for name in cause.names)
            depends |= cause.kind == "route" and cause.id in parts
        if depends:
            yield from cause.words


def _has_currency(figure: Figure) -> bool:
    """Is the unit a currency, such as EUR?"""
    return len(figure.kind.unit.si) == 3 and figure.kind.unit.si.isupper()


def _find_changed_inputs(before: FigureState, after: FigureState) -> Iterator[UsedInput]:
    """Inputs that differ between the states, or are used in one state only."""
    sides = [
        {_extract_input_values(item): item for item in side.inputs} for side in (before, after)
    ]
    for facts in sides[0].keys() ^ sides[1].keys():
        yield sides[0].get(facts) or sides[1][facts]


def _extract_input_values(item: UsedInput) -> tuple[str, float, float, float, str]:
    """All of an input that makes a difference: id, value, low, high and source."""
    return item.id, item.value, item.low, item.high, item.source
