"""The headline figures of an added or removed bike, and their places among the bikes."""

from collections.abc import Iterator

from generator.figures import show
from generator.figures.model import Figure
from generator.figures.table.figures_table import FiguresTable
from generator.pages.frame.headlines import select_headlines
from generator.pages.lists import bike_table
from generator.publish.impact.changes.moves import format_figure
from generator.publish.impact.model import HeadlineFigure, ListRank
from generator.specs.bike import Bike


def rank_headline_figures(
    bike: Bike, table: FiguresTable, system: show.UnitSystem
) -> tuple[HeadlineFigure, ...]:
    """Headline figures of a bike, in the order of the bike's page. `table` holds the figures of the state that has it."""
    figures = (table.get(bike.slug, kind.id) for kind in select_headlines(table.kinds.values()))
    return tuple(
        HeadlineFigure(
            figure=figure.id,
            title=figure.kind.title,
            unit=figure.kind.unit.si,
            value=figure.value,
            low=figure.low,
            high=figure.high,
            text=format_figure(figure, system),
            basis=figure.basis,
            places=tuple(_rank_in_lists(bike, figure, table)),
        )
        for figure in figures
        if figure is not None
    )


def _rank_in_lists(bike: Bike, figure: Figure, table: FiguresTable) -> Iterator[ListRank]:
    """Places of a figure among all bikes and among those of each use; none for a figure without a better direction."""
    if figure.kind.better == "neither":
        return
    sign = 1.0 if figure.kind.better == "higher" else -1.0
    column = table.column(figure.id)
    for name, slugs in _iterate_lists(bike, table):
        others = [
            sign * column[slug].value
            for slug in slugs
            if slug in column and column[slug].kind.unit == figure.kind.unit  # one currency
        ]
        if len(others) > 1:
            yield ListRank(
                name, 1 + sum(each > sign * figure.value for each in others), len(others)
            )


def _iterate_lists(bike: Bike, table: FiguresTable) -> Iterator[tuple[str, list[str]]]:
    """Slugs of all bikes (empty title), then of the bikes of each use of this bike (title of the use)."""
    yield "", [other.slug for other in table.bikes]
    for use in bike.uses:
        yield (
            bike_table.find_use_title(use),
            [other.slug for other in table.bikes if use in other.uses],
        )
