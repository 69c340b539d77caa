"""The words `bikes` and `count` of live text: bikes that fit criteria as a list, a table or a run of names; their number.

* BikeQueries     the words `bikes` and `count` of one text
"""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from generator.figures.criteria.criteria import (
    Criteria,
    find_members,
    read_criteria,
    sort_by_figure,
)
from generator.figures.model import FigureKind
from generator.pages.prose.pieces import RenderedWord, WordUseError
from generator.specs.bike import Bike
from generator.specs.english import listed

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

MOST_BIKES = 60
"""Most bikes in one list."""
MOST_COLUMNS = 12
"""Most figures in one table."""
USAGE = 'Write bikes({"use": "cargo"}, order_by="spec.mass", most=5, show=["spec.mass"])'

RenderTable = Callable[[Sequence[tuple[str, str]], Sequence[FigureKind], str], Markup]
"""From slugs with names, kinds and a caption to a table."""
RenderLink = Callable[[str, str], Markup]
"""Renders a link to a bike from its slug and name."""


class BikeQueries:
    """Selects bikes of the table by criteria; wrong arguments raise WrongError."""

    def __init__(
        self,
        table: "FiguresTable",
        find_kind: Callable[[str], FigureKind],
        render_table: RenderTable,
        render_link: RenderLink,
    ) -> None:
        self._table, self._find_kind = table, find_kind
        self._render_table, self._render_link = render_table, render_link

    def bikes(
        self,
        where: Any = None,
        order_by: str = "spec.price",
        most: int = 20,
        show: Any = (),
        descending: bool = False,
        caption: str = "",
        inline: bool = False,
    ) -> RenderedWord:
        """The bikes that fit, as a list of links; a table if `show` names figures, names in a sentence if `inline`."""
        criteria = self._read_criteria({} if where is None else where)
        kind, kinds = self._find_kind(_check_figure_id(order_by)), self._find_kinds(show)
        if not isinstance(most, int) or isinstance(most, bool) or not 1 <= most <= MOST_BIKES:
            raise WordUseError(
                "`most` is not a number of bikes", f"Write a number from 1 to {MOST_BIKES}"
            )
        if inline and kinds:
            raise WordUseError("a table cannot stand within a line", "Leave `show` or `inline` out")
        if not isinstance(caption, str):
            raise WordUseError("the caption is not a text", "Put it between quotation marks")
        found = self.find_bikes(criteria, kind, most, bool(descending))
        if not found:
            words = f"no bike in this guide fits ({criteria.words})"
            if not inline:
                words = f"No bike in this guide fits: {criteria.words}."
            html = Markup("{}" if inline else "<p>{}</p>").format(words)
            return RenderedWord(html, words, Markup("{}").format(words), block=not inline)
        plain = listed([bike.full_name for bike in found])
        unlinked = Markup("{}").format(plain)
        if inline:
            links = [self._render_link(bike.slug, bike.full_name) for bike in found]
            return RenderedWord(_join_links(links), plain, unlinked)
        if kinds:
            caption = caption or f"Bikes that fit: {criteria.words or 'all'}"
            rows = [(bike.slug, bike.full_name) for bike in found]
            return RenderedWord(
                self._render_table(rows, kinds, caption), caption, unlinked, block=True
            )
        items = Markup().join(self._render_item(bike) for bike in found)
        return RenderedWord(Markup("<ul>{}</ul>").format(items), plain, unlinked, block=True)

    def find_bikes(
        self, criteria: Criteria, kind: FigureKind, most: int, descending: bool
    ) -> list[Bike]:
        """The first bikes that fit, in the order of one figure."""
        fitting = [bike for bike, _ in find_members(self._table, criteria)]
        return sort_by_figure(self._table, fitting, kind.id, descending)[:most]

    def list_printed_figures(
        self,
        where: Any = None,
        order_by: str = "spec.price",
        most: int = 20,
        show: Any = (),
        descending: bool = False,
        **rest: Any,
    ) -> list[tuple[str, str]]:
        """Slug and figure id of each figure that `bikes` prints for these arguments."""
        criteria = self._read_criteria({} if where is None else where)
        found = self.find_bikes(
            criteria, self._find_kind(_check_figure_id(order_by)), most, bool(descending)
        )
        return [(bike.slug, kind.id) for bike in found for kind in self._find_kinds(show)]

    def count(self, where: Any = None) -> RenderedWord:
        """How many bikes fit, as a number."""
        number = str(
            len(find_members(self._table, self._read_criteria({} if where is None else where)))
        )
        html = Markup("{}").format(number)
        return RenderedWord(html, number, html)

    def _render_item(self, bike: Bike) -> Markup:
        return Markup("<li>{}</li>").format(self._render_link(bike.slug, bike.full_name))

    def _read_criteria(self, where: Any) -> Criteria:
        if not isinstance(where, Mapping):
            raise WordUseError("the criteria are not a group in braces", USAGE)
        criteria, wrong = read_criteria(where, self._table.kinds)
        if criteria is not None:
            wrong = criteria.find_unknown_makers(self._table.bikes)
        if criteria is None or wrong:
            first = wrong[0]
            what = f"{first.key}: {first.what}" if first.key else first.what
            raise WordUseError(what, first.mend, first.key)
        return criteria

    def _find_kinds(self, show: Any) -> list[FigureKind]:
        if not isinstance(show, (list, tuple)):
            raise WordUseError("`show` is not a list of figures", USAGE)
        if len(show) > MOST_COLUMNS:
            raise WordUseError("the table is too wide to read", f"Keep to {MOST_COLUMNS} figures")
        return [self._find_kind(_check_figure_id(figure)) for figure in show]


def _check_figure_id(figure: Any) -> str:
    if not isinstance(figure, str):
        raise WordUseError("a figure's name is not a text", "Put it between quotation marks")
    return figure


def _join_links(links: Sequence[Markup]) -> Markup:
    if len(links) < 2:
        return Markup().join(links)
    return Markup("{} and {}").format(Markup(", ").join(links[:-1]), links[-1])
