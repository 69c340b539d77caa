"""The page of a bike that was just saved, ahead of the whole site.

Its figures are computed alone, in well under a second, and set among those of the others as the last whole build
left them. That is a preview: own rides of other bikes, lists, comparisons and whatever else follows from the
change come with the whole build, which is the truth and replaces these pages too.
"""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from generator.content.model import Content
from generator.figures.table.details import Either
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.tabulate import tabulate
from generator.pages.bike import page as bike_page
from generator.pages.bike.neighbours import find_neighbours
from generator.pages.compare.pairs import BikePairs
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.publish.cache.cache import Cache
from generator.publish.cache.drawings import CachedDrawings
from generator.publish.reading import errors_of
from generator.specs.bike import Bike
from generator.specs.problems import ProblemsFound
from generator.specs.read import read_bike


class Quick:
    """What stays warm between two saves: figures of all bikes, texts, compiled templates."""

    def __init__(self, table: FiguresTable, content: Content, root: Path) -> None:
        self._table, self._content, self._root = table, content, root
        self._renderer = Renderer(table, content, root, CachedDrawings(Cache.of_user()))
        if table.bikes:
            self._pages(table, table.bikes[0])  # compiles the template

    def pages(self, files: Sequence[Path]) -> list[Output]:
        """The pages of the bikes in these spec files.

        Raises
        ------
        ProblemsFound
            With the errors of the files.
        """
        bikes, problems = [], []
        for file in files:
            bike, found = read_bike(file, self._root)
            problems += found
            bikes += [bike] if bike else []
        if errors := errors_of(problems):
            raise ProblemsFound(errors)
        table = among(self._table, tabulate(bikes, self._content))
        made = [page for bike in bikes for page in self._pages(table, bike)]
        self._table = table
        return made

    def _pages(self, table: FiguresTable, bike: Bike) -> list[Output]:
        renderer = self._renderer.with_table(table)
        neighbours = find_neighbours(renderer, bike, BikePairs(table.bikes))
        return list(bike_page.render_pages(renderer, bike, neighbours))


def among(table: FiguresTable, fresh: FiguresTable) -> FiguresTable:
    """A table with the bikes of `fresh` in place of their earlier versions."""
    new = {bike.slug for bike in fresh.bikes}
    bikes = [bike for bike in table.bikes if bike.slug not in new] + list(fresh.bikes)
    order = {id: place for place, id in enumerate(table.kinds)}
    kinds = {**table.kinds, **fresh.kinds}
    return replace(
        table,
        bikes=tuple(sorted(bikes, key=lambda bike: bike.slug)),
        kinds=dict(sorted(kinds.items(), key=lambda item: order.get(item[0], len(order)))),
        figures={**table.figures, **fresh.figures},
        missing={**table.missing, **fresh.missing},
        details=Either(frozenset(new), fresh.details, table.details),
        rides=(*(ride for ride in table.rides if ride.bike not in new), *fresh.rides),
        claims={slug: each for slug, each in table.claims.items() if slug not in new}
        | fresh.claims,
        effects={slug: each for slug, each in table.effects.items() if slug not in new}
        | fresh.effects,
        uses={**table.uses, **fresh.uses},
    )
