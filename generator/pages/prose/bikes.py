"""Bikes that fit criteria, in running text: a list of links, a table, or a run of names; and how many there are.

* Chosen     the words `bikes` and `count` of one text
"""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from generator.figures.criteria.criteria import Criteria, by_figure, members, read_criteria
from generator.figures.model import Kind
from generator.pages.prose.pieces import Piece, WrongError
from generator.specs.bike import Bike

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

MOST = 60
"""Bikes in one list."""
WIDEST = 12
"""Figures in one table."""
USAGE = 'Write bikes({"use": "cargo"}, order_by="spec.mass", most=5, show=["spec.mass"])'

Tabled = Callable[[Sequence[tuple[str, str]], Sequence[Kind], str], Markup]
"""From slugs with names, kinds and a caption to a table."""
Linked = Callable[[str, str], Markup]
"""From slug and name to a link."""


class Chosen:
    """Works on the same figures as everything else; what it is asked wrongly it raises as WrongError."""

    def __init__(
        self, table: "FiguresTable", known: Callable[[str], Kind], tabled: Tabled, linked: Linked
    ) -> None:
        self._table, self._known = table, known
        self._tabled, self._linked = tabled, linked

    def bikes(
        self,
        where: Any = None,
        order_by: str = "spec.price",
        most: int = 20,
        show: Any = (),
        descending: bool = False,
        caption: str = "",
        inline: bool = False,
    ) -> Piece:
        """The bikes that fit, each with its link; a table where `show` names figures, names in a row where `inline`."""
        criteria = self._criteria({} if where is None else where)
        kind, kinds = self._known(_id(order_by)), self._kinds(show)
        if not isinstance(most, int) or isinstance(most, bool) or not 1 <= most <= MOST:
            raise WrongError("`most` is not a number of bikes", f"Write a number from 1 to {MOST}")
        if inline and kinds:
            raise WrongError("a table cannot stand within a line", "Leave `show` or `inline` out")
        if not isinstance(caption, str):
            raise WrongError("the caption is not a text", "Put it between quotation marks")
        found = self.found(criteria, kind, most, bool(descending))
        if not found:
            words = f"no bike in this guide fits ({criteria.words})"
            if not inline:
                words = f"No bike in this guide fits: {criteria.words}."
            html = Markup("{}" if inline else "<p>{}</p>").format(words)
            return Piece(html, words, Markup("{}").format(words), block=not inline)
        plain = _row([bike.full_name for bike in found])
        unlinked = Markup("{}").format(plain)
        if inline:
            links = [self._linked(bike.slug, bike.full_name) for bike in found]
            return Piece(_row_of(links), plain, unlinked)
        if kinds:
            caption = caption or f"Bikes that fit: {criteria.words or 'all'}"
            rows = [(bike.slug, bike.full_name) for bike in found]
            return Piece(self._tabled(rows, kinds, caption), caption, unlinked, block=True)
        items = Markup().join(self._item(bike) for bike in found)
        return Piece(Markup("<ul>{}</ul>").format(items), plain, unlinked, block=True)

    def found(self, criteria: Criteria, kind: Kind, most: int, descending: bool) -> list[Bike]:
        """The first bikes that fit, in the order of one figure."""
        fitting = [bike for bike, _ in members(self._table, criteria)]
        return by_figure(self._table, fitting, kind.id, descending)[:most]

    def named(
        self,
        where: Any = None,
        order_by: str = "spec.price",
        most: int = 20,
        show: Any = (),
        descending: bool = False,
        **rest: Any,
    ) -> list[tuple[str, str]]:
        """Slug and id of each figure that `bikes` prints when called with the same."""
        criteria = self._criteria({} if where is None else where)
        found = self.found(criteria, self._known(_id(order_by)), most, bool(descending))
        return [(bike.slug, kind.id) for bike in found for kind in self._kinds(show)]

    def count(self, where: Any = None) -> Piece:
        """How many bikes fit, as a number."""
        number = str(len(members(self._table, self._criteria({} if where is None else where))))
        html = Markup("{}").format(number)
        return Piece(html, number, html)

    def _item(self, bike: Bike) -> Markup:
        return Markup("<li>{}</li>").format(self._linked(bike.slug, bike.full_name))

    def _criteria(self, where: Any) -> Criteria:
        if not isinstance(where, Mapping):
            raise WrongError("the criteria are not a group in braces", USAGE)
        criteria, wrong = read_criteria(where, self._table.kinds)
        if criteria is not None:
            wrong = criteria.unheard(self._table.bikes)
        if criteria is None or wrong:
            first = wrong[0]
            what = f"{first.key}: {first.what}" if first.key else first.what
            raise WrongError(what, first.mend, first.key)
        return criteria

    def _kinds(self, show: Any) -> list[Kind]:
        if not isinstance(show, (list, tuple)):
            raise WrongError("`show` is not a list of figures", USAGE)
        if len(show) > WIDEST:
            raise WrongError("the table is too wide to read", f"Keep to {WIDEST} figures")
        return [self._known(_id(figure)) for figure in show]


def _id(figure: Any) -> str:
    if not isinstance(figure, str):
        raise WrongError("a figure's name is not a text", "Put it between quotation marks")
    return figure


def _row(names: Sequence[str]) -> str:
    return " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else "".join(names)


def _row_of(links: Sequence[Markup]) -> Markup:
    if len(links) < 2:
        return Markup().join(links)
    return Markup("{} and {}").format(Markup(", ").join(links[:-1]), links[-1])
