"""Tables of figures of one kind for every level, rider or route, each with its working below.

In an id of three parts the middle part is the column and the last the row: `range.rolling.level_2` is in row `level_2`
of column `rolling`. With two parts, `energy.rolling` is in row `rolling` of column `energy`. Ranges by route are in no
table: each has a line of its own, since readers ask for them first.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from markupsafe import Markup

from generator.figures.model import Figure, WeighedInput
from generator.pages.bike.traces import NumberedInputs, Used
from generator.pages.frame import numbers, urls
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

LEAST_SHARE = 0.1
"""Share of the interval below which an input is left out of the working, if it is below it for every figure. [-]"""

_LEVEL = re.compile(r"level_(\d+)")


class FamilyCell(NamedTuple):
    """A figure in a table: the id of its derivation and its HTML."""

    anchor: str
    number: Markup


@dataclass(frozen=True)
class FamilyWorking:
    """The working of all figures of a table that share one formula."""

    title: str
    formula: str
    holds_for: str
    example: str
    """Title of the figure whose steps are shown."""
    steps: tuple[str, ...]
    differing: list[Used]
    """Inputs that change from figure to figure, with all values in one text."""
    same: list[Used]
    """Inputs that are equal for all figures."""
    ridden: bool
    """Whether own rides have corrected a figure; the steps leave them out."""
    method: str
    """Link to the entry on the method page."""


@dataclass(frozen=True)
class FigureFamily:
    """A table of figures of one group."""

    id: str
    caption: str
    corner: str
    """What the rows are: `Level`, `Rider` or `Route`."""
    heads: list[str]
    """Column headings."""
    rows: list[tuple[str, list[FamilyCell | None]]]
    """Row heading and cells."""
    workings: list[FamilyWorking]
    count: int
    """Number of figures."""


UNTABLED_GROUP = "range"
"""Group whose figures by route have lines of their own."""


def find_family(renderer: Renderer, figure: Figure) -> tuple[str, str, str] | None:
    """Return what the rows are, and row and column of a figure; None when it belongs in no table."""
    group, *parts = figure.id.split(".")
    if len(parts) == 2:
        return "Level" if _LEVEL.fullmatch(parts[1]) else "Rider", parts[1], parts[0]
    if group != UNTABLED_GROUP and parts[0] in {route.id for route in renderer.content.routes}:
        return "Route", parts[0], group
    return None


def build_families(
    renderer: Renderer, bike: Bike, path: str, inputs: NumberedInputs, figures: Sequence[Figure]
) -> list[FigureFamily]:
    """Return the tables that the figures form, in the order of the figures."""
    found: dict[tuple[str, str], dict[tuple[str, str], Figure]] = {}
    for figure in figures:
        where = find_family(renderer, figure)
        if where:
            corner, row, column = where
            group = "" if corner == "Route" else figure.kind.group
            found.setdefault((group, corner), {})[row, column] = figure
    return [
        _build_family(renderer, bike, path, inputs, corner, members)
        for (_, corner), members in found.items()
    ]


def _build_family(
    renderer: Renderer,
    bike: Bike,
    path: str,
    inputs: NumberedInputs,
    corner: str,
    members: dict[tuple[str, str], Figure],
) -> FigureFamily:
    """Build a table; `members` are its figures by row and column."""
    rows = list(dict.fromkeys(row for row, _ in members))
    heads = {column: figure for (_, column), figure in reversed(members.items())}
    columns = list(dict.fromkeys(column for _, column in members))
    routes = {route.id: route.name for route in renderer.content.routes}
    group = next(iter(members.values())).kind.group
    subjects = list(dict.fromkeys(_find_subject(figure) for figure in members.values()))
    others = (subject[:1].lower() + subject[1:] for subject in subjects[1:])
    bases = ", ".join(dict.fromkeys(figure.basis for figure in members.values()))
    by_formula: dict[str, list[Figure]] = {}
    for figure in members.values():
        by_formula.setdefault(figure.kind.formula, []).append(figure)
    return FigureFamily(
        f"family-{group}-{corner.lower()}",
        f"{' and '.join((subjects[0], *others))} by {corner.lower()} ({bases})",
        corner,
        [routes.get(column, _find_subject(heads[column])) for column in columns],
        [
            (
                _find_row_name(renderer, bike, row),
                [_make_cell(renderer, path, members.get((row, column))) for column in columns],
            )
            for row in rows
        ],
        [_make_working(renderer, path, inputs, one) for one in by_formula.values()],
        len(members),
    )


def _find_subject(figure: Figure) -> str:
    """Return the title of a figure without row and column, such as `Range`."""
    return figure.kind.title.split(", ")[0]


def _find_row_name(renderer: Renderer, bike: Bike, row: str) -> str:
    level = _LEVEL.fullmatch(row)
    if level:
        place = int(level[1])
        names = [each.name for each in bike.assist.levels]
        return names[place - 1] if place <= len(names) else f"level {place}"
    riders = [(rider.id, rider.name) for rider in renderer.content.riders]
    routes = [(route.id, route.name) for route in renderer.content.routes]
    return dict(riders + routes).get(row, row)


def _make_cell(renderer: Renderer, path: str, figure: Figure | None) -> FamilyCell | None:
    if figure is None:
        return None
    return FamilyCell(
        numbers.figure_anchor(figure.id), renderer.number(figure, path, interval=True, linked=False)
    )


def _make_working(
    renderer: Renderer, path: str, inputs: NumberedInputs, members: list[Figure]
) -> FamilyWorking:
    by_title: dict[str, list[WeighedInput]] = {}
    for figure in members:
        for one in renderer.table.working(figure).inputs:
            by_title.setdefault(one.given.title, []).append(one)
    used = [
        _combine_inputs(ones, [inputs.find_number(one.given) for one in ones])
        for ones in by_title.values()
    ]
    used.sort(key=lambda one: -one.most)
    conditions = [figure.conditions.split("; ") for figure in members]
    example = members[0]
    return FamilyWorking(
        _find_subject(example),
        example.kind.formula,
        "; ".join(part for part in conditions[0] if all(part in each for each in conditions)),
        example.kind.title,
        renderer.table.working(example).steps,
        [one.shown for one in used if one.differs],
        [one.shown for one in used if not one.differs and one.most >= LEAST_SHARE],
        any(figure.before_rides for figure in members),
        urls.link(path, numbers.method_entry_path(example.id)),
    )


class _SharedInput(NamedTuple):
    """An input of several figures."""

    shown: Used
    most: float
    """Largest share of the interval of any figure. [-]"""
    differs: bool
    """Whether its value changes from figure to figure."""


def _combine_inputs(ones: list[WeighedInput], numbered: list[int]) -> _SharedInput:
    most = max([one.share for one in ones])
    texts = dict.fromkeys([one.given.text for one in ones])
    bases = dict.fromkeys([one.given.basis for one in ones])
    share = f"up to {most * 100:.0f} %" if most >= LEAST_SHARE else ""
    shown = Used(numbered[0], ones[0].given.title, "; ".join(texts), ", ".join(bases), share)
    return _SharedInput(shown, most, len(texts) > 1)
