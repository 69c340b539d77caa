"""Figures that moved, as HTML: the bike, the figure, what it was and what it is.

Values of a record are not those of the table of now, so they carry no mark of a published figure.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.model import Figure
from generator.figures.records.record import Move
from generator.pages.frame import numbers, urls
from generator.pages.frame.renderer import Renderer

ARROW = Markup(' <span aria-hidden="true">→</span><span class="quiet"> is now </span> ')
MOST_FIGURES = 12
"""Moves told of one bike; the rest is counted."""
MOST_BIKES = 60
"""Bikes whose moves are told, of one release."""
MOST_NAMED = 100
"""Bikes named in one line; the rest is counted."""


@dataclass(frozen=True)
class OfBike:
    """What moved of one bike."""

    name: str
    href: str
    """Empty for a bike that is there no more."""
    count: str
    """Such as `3 figures`."""
    items: list[Markup]
    more: int
    """Moves that are not told."""


def bikes(
    renderer: Renderer,
    moved: Mapping[str, Sequence[Move]],
    name: Callable[[str], str],
    path: str,
    *,
    most: int = 0,
) -> list[OfBike]:
    """One entry for each bike, most moves first; `name` names it by its slug."""
    entries = []
    for slug, moves in sorted(moved.items(), key=lambda each: (-len(each[1]), each[0])):
        shown = moves[: most or len(moves)]
        entries.append(
            OfBike(
                name(slug),
                bike_href(renderer, slug, path),
                counted(len(moves), "figure"),
                [item(renderer, move) for move in shown],
                len(moves) - len(shown),
            )
        )
    return entries


def item(renderer: Renderer, move: Move) -> Markup:
    """Such as `Range, the loop: 44 km → 42 km`."""
    return Markup("{}: {}{}{}").format(
        move.kind.short, value(renderer, move.old), ARROW, value(renderer, move.new)
    )


def value(renderer: Renderer, figure: Figure | None) -> Markup:
    return numbers.value_html(figure, first=renderer.system) if figure else numbers.NOT_KNOWN


def plain(renderer: Renderer, move: Move) -> str:
    """The same as `item` in plain text."""
    old, new = (numbers.figure_text(each, first=renderer.system) for each in (move.old, move.new))
    return f"{move.kind.short}: {old} → {new}"


def bike_href(renderer: Renderer, slug: str, path: str) -> str:
    """Link to a bike's page; empty where there is none."""
    return urls.link(path, urls.bike(slug)) if renderer.table.bike(slug) else ""


def counted(count: int, word: str) -> str:
    return f"{count:,} {word}" + ("" if count == 1 else "s")
