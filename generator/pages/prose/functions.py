"""The words of live text: figure, bike, term, table, bikes, count, chart, diagram, shop.

A word does not put HTML into the Markdown. It leaves a mark, two private-use characters around a
number, and keeps the finished HTML aside; `prose_tree` sets it in after the Markdown has been
rendered and cleaned. So nothing from a spec file is ever read as Markdown, and our own HTML need
not pass the allow-list that holds for contributors.
"""

import inspect
import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from difflib import get_close_matches
from functools import partial
from typing import TYPE_CHECKING

from markupsafe import Markup

from generator.content.model import Content
from generator.figures import show
from generator.figures.model import Kind
from generator.pages.frame.disclosure import shop_html, shop_plain
from generator.pages.frame.numbers import anchor, figure_html, figure_text
from generator.pages.prose.bikes import Chosen
from generator.pages.prose.conditions import Asked
from generator.pages.prose.language import Budget, Fault
from generator.pages.prose.pieces import MARK, Piece, WrongError, nearest, texts
from generator.specs.bike import Bike

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

__all__ = ["MARK", "Draw", "Piece", "Words"]

TABLE_PREFIX = "t-"
"""Before the id of a table's caption."""

Draw = Callable[[str, str, str], Markup]
"""From a bike's slug, a chart's name and a heading to a `<figure>`; KeyError when there is none."""

_CURRENCY = re.compile("[A-Z]{3}")
"""Stands in a bike's place for charts of all bikes with a price in it."""


class Words:
    """The vocabulary of one text: what it may say, what it has said, what was wrong with it.

    A method that is a word returns what its mark stands for, or raises WrongError.
    """

    def __init__(
        self, table: "FiguresTable", content: Content, *, depth: int, draw: Draw | None = None
    ) -> None:
        self.pieces: list[Piece] = []
        self.faults: list[Fault] = []
        self._table = table
        self._terms = {term.slug: term for term in content.terms}
        self._links = {link.id: link for link in content.links}
        self._up = "../" * depth
        self._first: show.System = "us" if content.settings.units == "us" else "metric"
        self._tables = 0
        self._draw = draw
        self.asked = Asked(table, self._first, self.faults)
        self.chosen = Chosen(table, self._known_figure, self._tabled, self._bike_link)

    @property
    def figures(self) -> "FiguresTable":
        return self._table

    @property
    def system(self) -> show.System:
        """The unit system that comes first."""
        return self._first

    def globals(self, budget: Budget) -> dict[str, Callable[..., object]]:
        """What `prose_language.compiled` makes callable."""
        spoken: dict[str, Callable[..., Piece]] = {
            "figure": self.figure,
            "bike": self.bike,
            "term": self.term,
            "table": self.table,
            "chart": self.chart,
            "diagram": self.diagram,
            "bikes": self.chosen.bikes,
            "count": self.chosen.count,
            "shop": self.shop,
        }
        return {
            **{word: partial(self._say, budget, word, method) for word, method in spoken.items()},
            **self.asked.globals(budget),
            "range": lambda *bounds, line_: budget.range(line_, *bounds),
            "counted_": lambda items, line_: budget.counted(items, line_),
        }

    def term_link(self, slug: str, words: str) -> Markup:
        """The link that a term gets, by its word or by itself."""
        return Markup('<a class="term" href="{}glossary/{}/">{}</a>').format(self._up, slug, words)

    def figure(self, bike: str, figure: str, interval: bool = False) -> Piece:
        texts(bike=bike, figure=figure)
        self._known_bike(bike)
        self._known_figure(figure)
        found = self._table.get(bike, figure)
        href = f"{self._up}bikes/{bike}/#{anchor(figure)}"
        return Piece(
            figure_html(found, href=href, interval=interval, first=self._first),
            figure_text(found, first=self._first),
            figure_html(found, interval=interval, first=self._first),
        )

    def bike(self, bike: str) -> Piece:
        texts(bike=bike)
        name = self._known_bike(bike).full_name
        return Piece(self._bike_link(bike, name), name, Markup("{}").format(name))

    def term(self, term: str, words: str = "") -> Piece:
        texts(term=term, words=words)
        if term not in self._terms:
            raise WrongError(
                f"there is no term {term!r} in the glossary",
                nearest(term, self._terms, "content/glossary"),
                term,
            )
        words = words or _running(self._terms[term].title)
        return Piece(self.term_link(term, words), words, Markup("{}").format(words), term=term)

    def table(self, bikes: list[str], figures: list[str], caption: str = "") -> Piece:
        if not isinstance(bikes, (list, tuple)) or not isinstance(figures, (list, tuple)):
            raise WrongError("table() takes two lists", f"Write {USAGE['table']}")
        texts(**{f"bike {n}": bike for n, bike in enumerate(bikes, 1)})
        texts(**{f"figure {n}": figure for n, figure in enumerate(figures, 1)}, caption=caption)
        if not bikes or not figures:
            raise WrongError(
                "a table needs at least one bike and one figure", "Name them in the two lists"
            )
        if len(bikes) > 60 or len(figures) > 12:
            raise WrongError("the table is too large to read", "Keep to 60 bikes and 12 figures")
        rows = [(slug, self._known_bike(slug).full_name) for slug in bikes]
        kinds = [self._known_figure(figure) for figure in figures]
        caption = caption or ", ".join(kind.title for kind in kinds)
        html = self._tabled(rows, kinds, caption)
        return Piece(html, caption, Markup("{}").format(caption), block=True)

    def chart(self, name: str, bike: str) -> Piece:
        texts(name=name, bike=bike)
        from generator.charts import embed

        heading = "" if _CURRENCY.fullmatch(bike) else self._known_bike(bike).full_name
        try:
            if self._draw is None:
                html = embed.figure_for(
                    self._table, bike, name, system=self._first, heading=heading
                )
            else:
                html = self._draw(bike, name, heading)
        except KeyError as error:
            mend = f"Known are {', '.join(embed.NAMES)}"
            raise WrongError(f"there is no chart {name!r} of {bike!r}", mend, name) from error
        if not html:
            mend = "Take the chart out, or fill in what it needs in the bike's file"
            raise WrongError(f"the chart {name!r} of {bike!r} has nothing to draw", mend, name)
        return Piece(html, name, Markup("{}").format(name), block=True)

    def diagram(self, name: str, bike: str = "") -> Piece:
        texts(name=name, bike=bike)
        from generator.charts import diagrams

        if name not in diagrams.NAMES:
            close = get_close_matches(name, diagrams.NAMES, n=1, cutoff=0.5)
            mend = (
                f"Did you mean {close[0]!r}" if close else f"Known are {', '.join(diagrams.NAMES)}"
            )
            raise WrongError(f"there is no diagram {name!r}", mend, name)
        heading = self._known_bike(bike).full_name if bike else ""
        html = diagrams.figure_for(self._table, bike, name, system=self._first, heading=heading)
        if not html:
            mend = "Take the diagram out, or fill in what it needs in the bike's file"
            raise WrongError(f"the diagram {name!r} of {bike!r} has nothing to draw", mend, name)
        return Piece(html, name, Markup("{}").format(name), block=True)

    def shop(self, link: str, words: str = "") -> Piece:
        """A link of `content/links.yaml`, with the label that its relation wants."""
        texts(link=link, words=words)
        if link not in self._links:
            where = "content/links.yaml"
            what = f"there is no link {link!r} in {where}"
            raise WrongError(what, nearest(link, self._links, where), link)
        found = self._links[link]
        plain = shop_plain(found, words)
        return Piece(shop_html(found, words), plain, Markup("{}").format(plain))

    def _tabled(
        self, rows: Sequence[tuple[str, str]], kinds: Sequence[Kind], caption: str
    ) -> Markup:
        """A table of bikes, given by slug and name."""
        self._tables += 1
        heads = Markup().join(
            Markup('<th scope="col">{}</th>').format(kind.short) for kind in kinds
        )
        figures = [kind.id for kind in kinds]
        body = Markup().join(self._row(slug, name, figures) for slug, name in rows)
        return Markup(
            '<div class="table-scroll" role="region" tabindex="0" aria-labelledby="{0}">'
            '<table class="figures"><caption id="{0}">{1}</caption>'
            '<thead><tr><th scope="col">Bike</th>{2}</tr></thead><tbody>{3}</tbody></table></div>'
        ).format(f"{TABLE_PREFIX}{self._tables}", caption, heads, body)

    def _row(self, slug: str, name: str, figures: list[str]) -> Markup:
        cells = Markup().join(
            Markup("<td>{}</td>").format(
                figure_html(
                    self._table.get(slug, figure),
                    href=f"{self._up}bikes/{slug}/#{anchor(figure)}",
                    first=self._first,
                )
            )
            for figure in figures
        )
        return Markup('<tr><th scope="row">{}</th>{}</tr>').format(
            self._bike_link(slug, name), cells
        )

    def _bike_link(self, slug: str, name: str) -> Markup:
        return Markup('<a class="bike" href="{}bikes/{}/">{}</a>').format(self._up, slug, name)

    def _known_bike(self, slug: str) -> Bike:
        bike = self._table.bike(slug)
        if bike is None:
            slugs = [each.slug for each in self._table.bikes]
            raise WrongError(f"there is no bike {slug!r}", nearest(slug, slugs, "bikes/"), slug)
        return bike

    def _known_figure(self, figure: str) -> Kind:
        if figure not in self._table.kinds:
            raise WrongError(
                f"there is no figure {figure!r}",
                nearest(figure, self._table.kinds, "the methods page"),
                figure,
            )
        return self._table.kinds[figure]

    def _say(
        self,
        budget: Budget,
        word: str,
        method: Callable[..., Piece],
        *args: object,
        line_: int,
        **kwargs: object,
    ) -> str:
        try:
            try:
                inspect.signature(method).bind(*args, **kwargs)
            except TypeError as error:
                raise WrongError(
                    f"{word}() has the wrong arguments: {error}", f"Write {USAGE[word]}"
                ) from error
            piece = method(*args, **kwargs)
        except WrongError as wrong:
            self.faults.append(Fault(line_, wrong.what, wrong.mend, wrong.fragment))
            budget.wrong(line_)
            return "?"
        budget.stands_for(piece.html, line_)
        self.pieces.append(replace(piece, line=line_))
        mark = f"\ue000{len(self.pieces) - 1}\ue001"
        return f"\n\n{mark}\n\n" if piece.block else mark


USAGE = {
    "figure": 'figure("bike", "figure.id")',
    "bike": 'bike("slug")',
    "term": 'term("slug") or term("slug", "other words")',
    "table": 'table(["bike", …], ["figure.id", …])',
    "bikes": 'bikes({"use": "cargo"}, order_by="spec.mass", most=5, show=["spec.mass"])',
    "count": 'count({"use": "cargo"})',
    "chart": 'chart("name", "bike")',
    "diagram": 'diagram("name") or diagram("name", "bike")',
    "shop": 'shop("link") or shop("link", "other words")',
}


def _running(title: str) -> str:
    """A title within a sentence: lower case, unless it is an abbreviation or a name."""
    rest = title[1:]
    return title[:1].lower() + rest if rest[:1].islower() and rest == rest.lower() else title
