"""Figures of one kind for every level, rider or route: one table for each such family, with one working below it.

In an id of three parts the middle one is the column and the last one the row: `range.rolling.level_2` stands in row
`level_2` of the column `rolling`. Of two parts, `energy.rolling` stands in row `rolling` of the column `energy`.
Ranges by route keep lines of their own, as the first thing that is asked.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from markupsafe import Markup

from generator.figures.model import Figure, Weighed
from generator.pages.bike.traces import Inputs, Used
from generator.pages.frame import numbers, urls
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

LEAST_SHARE = 0.1
"""An input that explains less than this of every interval is not named in the working."""

_LEVEL = re.compile(r"level_(\d+)")


class Cell(NamedTuple):
    anchor: str
    number: Markup


@dataclass(frozen=True)
class Working:
    """How all figures of a table with one formula are worked out."""

    title: str
    formula: str
    holds_for: str
    example: str
    """Which figure the steps are for."""
    steps: tuple[str, ...]
    differing: list[Used]
    """Inputs that change from figure to figure, all values in one text."""
    same: list[Used]
    ridden: bool
    """Have own rides been taken into account, which the steps leave out?"""
    method: str


@dataclass(frozen=True)
class Family:
    id: str
    caption: str
    corner: str
    heads: list[str]
    rows: list[tuple[str, list[Cell | None]]]
    workings: list[Working]
    count: int


ALONE = "range"
"""Group whose figures by route stand on lines of their own."""


def place(renderer: Renderer, figure: Figure) -> tuple[str, str, str] | None:
    """What the rows are, row and column of a figure; None when it is of no family."""
    group, *parts = figure.id.split(".")
    if len(parts) == 2:
        return "Level" if _LEVEL.fullmatch(parts[1]) else "Rider", parts[1], parts[0]
    if group != ALONE and parts[0] in {route.id for route in renderer.content.routes}:
        return "Route", parts[0], group
    return None


def families(
    renderer: Renderer, bike: Bike, path: str, inputs: Inputs, figures: Sequence[Figure]
) -> list[Family]:
    """The families among the figures, in the order of the figures."""
    found: dict[tuple[str, str], dict[tuple[str, str], Figure]] = {}
    for figure in figures:
        where = place(renderer, figure)
        if where:
            corner, row, column = where
            group = "" if corner == "Route" else figure.kind.group
            found.setdefault((group, corner), {})[row, column] = figure
    return [
        _family(renderer, bike, path, inputs, corner, members)
        for (_, corner), members in found.items()
    ]


def _family(
    renderer: Renderer,
    bike: Bike,
    path: str,
    inputs: Inputs,
    corner: str,
    members: dict[tuple[str, str], Figure],
) -> Family:
    """`members` by row and column."""
    rows = list(dict.fromkeys(row for row, _ in members))
    heads = {column: figure for (_, column), figure in reversed(members.items())}
    columns = list(dict.fromkeys(column for _, column in members))
    routes = {route.id: route.name for route in renderer.content.routes}
    group = next(iter(members.values())).kind.group
    subjects = list(dict.fromkeys(_subject(figure) for figure in members.values()))
    others = (subject[:1].lower() + subject[1:] for subject in subjects[1:])
    bases = ", ".join(dict.fromkeys(figure.basis for figure in members.values()))
    by_formula: dict[str, list[Figure]] = {}
    for figure in members.values():
        by_formula.setdefault(figure.kind.formula, []).append(figure)
    return Family(
        f"family-{group}-{corner.lower()}",
        f"{' and '.join((subjects[0], *others))} by {corner.lower()} ({bases})",
        corner,
        [routes.get(column, _subject(heads[column])) for column in columns],
        [
            (
                _row_name(renderer, bike, row),
                [_cell(renderer, path, members.get((row, column))) for column in columns],
            )
            for row in rows
        ],
        [_working(renderer, path, inputs, one) for one in by_formula.values()],
        len(members),
    )


def _subject(figure: Figure) -> str:
    """The title without the parts that name row and column, such as `Range`."""
    return figure.kind.title.split(", ")[0]


def _row_name(renderer: Renderer, bike: Bike, row: str) -> str:
    level = _LEVEL.fullmatch(row)
    if level:
        place = int(level[1])
        names = [each.name for each in bike.assist.levels]
        return names[place - 1] if place <= len(names) else f"level {place}"
    riders = [(rider.id, rider.name) for rider in renderer.content.riders]
    routes = [(route.id, route.name) for route in renderer.content.routes]
    return dict(riders + routes).get(row, row)


def _cell(renderer: Renderer, path: str, figure: Figure | None) -> Cell | None:
    if figure is None:
        return None
    return Cell(
        numbers.anchor(figure.id), renderer.number(figure, path, interval=True, linked=False)
    )


def _working(renderer: Renderer, path: str, inputs: Inputs, members: list[Figure]) -> Working:
    by_title: dict[str, list[Weighed]] = {}
    for figure in members:
        for one in renderer.table.working(figure).inputs:
            by_title.setdefault(one.given.title, []).append(one)
    used = [_used(ones, [inputs.number(one.given) for one in ones]) for ones in by_title.values()]
    used.sort(key=lambda one: -one.most)
    conditions = [figure.conditions.split("; ") for figure in members]
    example = members[0]
    return Working(
        _subject(example),
        example.kind.formula,
        "; ".join(part for part in conditions[0] if all(part in each for each in conditions)),
        example.kind.title,
        renderer.table.working(example).steps,
        [one.shown for one in used if one.differs],
        [one.shown for one in used if not one.differs and one.most >= LEAST_SHARE],
        any(figure.before_rides for figure in members),
        urls.link(path, numbers.explained_at(example.id)),
    )


class _Shared(NamedTuple):
    """An input of several figures."""

    shown: Used
    most: float
    """Share that it has at most."""
    differs: bool


def _used(ones: list[Weighed], numbered: list[int]) -> _Shared:
    most = max([one.share for one in ones])
    texts = dict.fromkeys([one.given.text for one in ones])
    bases = dict.fromkeys([one.given.basis for one in ones])
    share = f"up to {most * 100:.0f} %" if most >= LEAST_SHARE else ""
    shown = Used(numbered[0], ones[0].given.title, "; ".join(texts), ", ".join(bases), share)
    return _Shared(shown, most, len(texts) > 1)
