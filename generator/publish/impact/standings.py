"""What comes with a new bike and goes with a removed one: its headline figures, and their places among the bikes."""

from collections.abc import Iterator

from generator.figures import show
from generator.figures.model import Figure
from generator.figures.table.figures_table import FiguresTable
from generator.pages.frame.headlines import headlines
from generator.pages.lists import bike_table
from generator.publish.impact.model import Rank, Standing
from generator.publish.impact.moves import shown
from generator.specs.bike import Bike


def standings(bike: Bike, table: FiguresTable, system: show.System) -> tuple[Standing, ...]:
    """Its headline figures in the order in which they are asked; `table` is of the side that has the bike."""
    figures = (table.get(bike.slug, kind.id) for kind in headlines(table.kinds.values()))
    return tuple(
        Standing(
            figure=figure.id,
            title=figure.kind.title,
            unit=figure.kind.unit.si,
            value=figure.value,
            low=figure.low,
            high=figure.high,
            text=shown(figure, system),
            basis=figure.basis,
            places=tuple(_places(bike, figure, table)),
        )
        for figure in figures
        if figure is not None
    )


def _places(bike: Bike, figure: Figure, table: FiguresTable) -> Iterator[Rank]:
    """Among all bikes, then among those of each of its uses; none where no value is better than another."""
    if figure.kind.better == "neither":
        return
    sign = 1.0 if figure.kind.better == "higher" else -1.0
    column = table.column(figure.id)
    for name, slugs in _shelves(bike, table):
        others = [
            sign * column[slug].value
            for slug in slugs
            if slug in column and column[slug].kind.unit == figure.kind.unit  # one currency
        ]
        if len(others) > 1:
            yield Rank(name, 1 + sum(each > sign * figure.value for each in others), len(others))


def _shelves(bike: Bike, table: FiguresTable) -> Iterator[tuple[str, list[str]]]:
    yield "", [other.slug for other in table.bikes]
    for use in bike.uses:
        yield bike_table.title(use), [other.slug for other in table.bikes if use in other.uses]
