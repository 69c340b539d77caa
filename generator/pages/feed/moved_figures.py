"""Figures that moved, as HTML: the bike, the figure, its old value and its new one.

Values from a record are not in the current table, so they are not marked as published figures.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.model import Figure
from generator.figures.records.record import FigureChange
from generator.pages.frame import numbers, urls
from generator.pages.frame.renderer import Renderer
from generator.specs.english import format_count

ARROW = Markup(' <span aria-hidden="true">→</span><span class="quiet"> is now </span> ')
MOST_FIGURES = 12
"""Most moves shown for one bike; the rest is counted."""
MOST_BIKES = 60
"""Most bikes of one release whose moves are shown."""
MOST_NAMED = 100
"""Most bikes named in one line; the rest is counted."""


@dataclass(frozen=True)
class BikeMoves:
    """The figures of one bike that moved."""

    name: str
    href: str
    """Link to the bike; empty if it is gone."""
    count: str
    """Number of moves, such as `3 figures`."""
    items: list[Markup]
    more: int
    """Number of moves not shown."""


def group_by_bike(
    renderer: Renderer,
    moved: Mapping[str, Sequence[FigureChange]],
    name: Callable[[str], str],
    path: str,
    *,
    most: int = 0,
) -> list[BikeMoves]:
    """An entry for each bike, most moves first; `name` returns a bike's name from its slug."""
    entries = []
    for slug, moves in sorted(moved.items(), key=lambda each: (-len(each[1]), each[0])):
        shown = moves[: most or len(moves)]
        entries.append(
            BikeMoves(
                name(slug),
                link_bike(renderer, slug, path),
                format_count(len(moves), "figure"),
                [render_move(renderer, move) for move in shown],
                len(moves) - len(shown),
            )
        )
    return entries


def render_move(renderer: Renderer, move: FigureChange) -> Markup:
    """Such as `Range, the loop: 44 km → 42 km`."""
    return Markup("{}: {}{}{}").format(
        move.kind.short, render_value(renderer, move.old), ARROW, render_value(renderer, move.new)
    )


def render_value(renderer: Renderer, figure: Figure | None) -> Markup:
    """A figure's value as HTML, or `not known`."""
    return numbers.value_html(figure, first=renderer.system) if figure else numbers.NOT_KNOWN


def format_move(renderer: Renderer, move: FigureChange) -> str:
    """The same as `render_move` in plain text."""
    old, new = (numbers.figure_text(each, first=renderer.system) for each in (move.old, move.new))
    return f"{move.kind.short}: {old} → {new}"


def link_bike(renderer: Renderer, slug: str, path: str) -> str:
    """Link to a bike's page; empty if there is none."""
    return urls.link(path, urls.bike(slug)) if renderer.table.bike(slug) else ""
