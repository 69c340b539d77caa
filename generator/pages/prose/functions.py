"""The words of live text: figure, bike, term, table, bikes, count, chart, diagram, shop.

A word does not put HTML into the Markdown. It leaves a mark, two private-use characters around a
number, and stores its HTML; `tree` replaces the mark after the Markdown has been rendered and
cleaned. So nothing from a spec file is read as Markdown, and the HTML of words does not go through
the allow-list for contributors.
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
from generator.figures.model import FigureKind
from generator.pages.frame.numbers import figure_anchor, figure_html, figure_text
from generator.pages.notices.disclosure import shop_html, shop_text
from generator.pages.prose.bikes import BikeQueries
from generator.pages.prose.conditions import ConditionRuns
from generator.pages.prose.language import Budget, TextFault
from generator.pages.prose.pieces import MARK, RenderedWord, WordUseError, check_texts, suggest_name
from generator.specs.bike import Bike

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

__all__ = ["MARK", "DrawChart", "RenderedWord", "TextVocabulary"]

TABLE_PREFIX = "t-"
"""Prefix of the id of a table's caption."""

DrawChart = Callable[[str, str, str], Markup]
"""Renders a `<figure>` from a bike's slug, a chart's name and a heading; KeyError if there is no such chart."""

_CURRENCY = re.compile("[A-Z]{3}")
"""A currency code, given instead of a bike for charts of all bikes priced in it."""


class TextVocabulary:
    """The vocabulary of one text, with the pieces that it has used and the faults found.

    A method for a word returns the RenderedWord that its mark stands for, or raises WrongError.
    """

    def __init__(
        self, table: "FiguresTable", content: Content, *, depth: int, draw: DrawChart | None = None
    ) -> None:
        self.pieces: list[RenderedWord] = []
        self.faults: list[TextFault] = []
        self._table = table
        self._terms = {term.slug: term for term in content.term_index}
        self._links = {link.id: link for link in content.links}
        self._up = "../" * depth
        self._first: show.UnitSystem = "us" if content.settings.units == "us" else "metric"
        self._tables = 0
        self._draw = draw
        self.conditions = ConditionRuns(table, self._first, self.faults)
        self.queries = BikeQueries(
            table, self._find_kind, self._render_table, self._render_bike_link
        )

    @property
    def figures(self) -> "FiguresTable":
        return self._table

    @property
    def system(self) -> show.UnitSystem:
        """The unit system that comes first."""
        return self._first

    def list_functions(self, budget: Budget) -> dict[str, Callable[..., object]]:
        """The functions that `language.compile_body` makes callable."""
        spoken: dict[str, Callable[..., RenderedWord]] = {
            "figure": self.figure,
            "bike": self.bike,
            "term": self.term,
            "table": self.table,
            "chart": self.chart,
            "diagram": self.diagram,
            "bikes": self.queries.bikes,
            "count": self.queries.count,
            "shop": self.shop,
        }
        return {
            **{
                word: partial(self._run_word, budget, word, method)
                for word, method in spoken.items()
            },
            **self.conditions.list_functions(budget),
            "range": lambda *bounds, line_: budget.make_range(line_, *bounds),
            "counted_": lambda items, line_: budget.count_items(items, line_),
        }

    def render_term_link(self, slug: str, words: str) -> Markup:
        """Link to a glossary term."""
        return Markup('<a class="term" href="{}glossary/{}/">{}</a>').format(self._up, slug, words)

    def figure(self, bike: str, figure: str, interval: bool = False) -> RenderedWord:
        check_texts(bike=bike, figure=figure)
        self._find_bike(bike)
        self._find_kind(figure)
        found = self._table.get(bike, figure)
        href = f"{self._up}bikes/{bike}/#{figure_anchor(figure)}"
        return RenderedWord(
            figure_html(found, href=href, interval=interval, first=self._first),
            figure_text(found, first=self._first),
            figure_html(found, interval=interval, first=self._first),
        )

    def bike(self, bike: str) -> RenderedWord:
        check_texts(bike=bike)
        name = self._find_bike(bike).full_name
        return RenderedWord(self._render_bike_link(bike, name), name, Markup("{}").format(name))

    def term(self, term: str, words: str = "") -> RenderedWord:
        check_texts(term=term, words=words)
        if term not in self._terms:
            raise WordUseError(
                f"there is no term {term!r} in the glossary",
                suggest_name(term, self._terms, "content/glossary"),
                term,
            )
        words = words or _lower_title(self._terms[term].title)
        return RenderedWord(
            self.render_term_link(term, words), words, Markup("{}").format(words), term=term
        )

    def table(self, bikes: list[str], figures: list[str], caption: str = "") -> RenderedWord:
        if not isinstance(bikes, (list, tuple)) or not isinstance(figures, (list, tuple)):
            raise WordUseError("table() takes two lists", f"Write {USAGE['table']}")
        check_texts(**{f"bike {n}": bike for n, bike in enumerate(bikes, 1)})
        check_texts(
            **{f"figure {n}": figure for n, figure in enumerate(figures, 1)}, caption=caption
        )
        if not bikes or not figures:
            raise WordUseError(
                "a table needs at least one bike and one figure", "Name them in the two lists"
            )
        if len(bikes) > 60 or len(figures) > 12:
            raise WordUseError("the table is too large to read", "Keep to 60 bikes and 12 figures")
        rows = [(slug, self._find_bike(slug).full_name) for slug in bikes]
        kinds = [self._find_kind(figure) for figure in figures]
        caption = caption or ", ".join(kind.title for kind in kinds)
        html = self._render_table(rows, kinds, caption)
        return RenderedWord(html, caption, Markup("{}").format(caption), block=True)

    def chart(self, name: str, bike: str) -> RenderedWord:
        check_texts(name=name, bike=bike)
        from generator.charts import embed

        heading = "" if _CURRENCY.fullmatch(bike) else self._find_bike(bike).full_name
        try:
            if self._draw is None:
                html = embed.figure_for(
                    self._table, bike, name, system=self._first, heading=heading
                )
            else:
                html = self._draw(bike, name, heading)
        except KeyError as error:
            mend = f"Known are {', '.join(embed.NAMES)}"
            raise WordUseError(f"there is no chart {name!r} of {bike!r}", mend, name) from error
        if not html:
            mend = "Take the chart out, or fill in what it needs in the bike's file"
            raise WordUseError(f"the chart {name!r} of {bike!r} has nothing to draw", mend, name)
        return RenderedWord(html, name, Markup("{}").format(name), block=True)

    def diagram(self, name: str, bike: str = "") -> RenderedWord:
        check_texts(name=name, bike=bike)
        from generator.charts import diagrams

        if name not in diagrams.NAMES:
            close = get_close_matches(name, diagrams.NAMES, n=1, cutoff=0.5)
            mend = (
                f"Did you mean {close[0]!r}" if close else f"Known are {', '.join(diagrams.NAMES)}"
            )
            raise WordUseError(f"there is no diagram {name!r}", mend, name)
        heading = self._find_bike(bike).full_name if bike else ""
        html = diagrams.figure_for(self._table, bike, name, system=self._first, heading=heading)
        if not html:
            mend = "Take the diagram out, or fill in what it needs in the bike's file"
            raise WordUseError(f"the diagram {name!r} of {bike!r} has nothing to draw", mend, name)
        return RenderedWord(html, name, Markup("{}").format(name), block=True)

    def shop(self, link: str, words: str = "") -> RenderedWord:
        """A link of `content/links.yaml`, with the label that its relation requires."""
        check_texts(link=link, words=words)
        if link not in self._links:
            where = "content/links.yaml"
            what = f"there is no link {link!r} in {where}"
            raise WordUseError(what, suggest_name(link, self._links, where), link)
        found = self._links[link]
        plain = shop_text(found, words)
        return RenderedWord(shop_html(found, words), plain, Markup("{}").format(plain))

    def _render_table(
        self, rows: Sequence[tuple[str, str]], kinds: Sequence[FigureKind], caption: str
    ) -> Markup:
        """Table of figures with a row for each bike, given by slug and name."""
        self._tables += 1
        heads = Markup().join(
            Markup('<th scope="col">{}</th>').format(kind.short) for kind in kinds
        )
        figures = [kind.id for kind in kinds]
        body = Markup().join(self._render_row(slug, name, figures) for slug, name in rows)
        return Markup(
            '<div class="table-scroll" role="region" tabindex="0" aria-labelledby="{0}">'
            '<table class="figures"><caption id="{0}">{1}</caption>'
            '<thead><tr><th scope="col">Bike</th>{2}</tr></thead><tbody>{3}</tbody></table></div>'
        ).format(f"{TABLE_PREFIX}{self._tables}", caption, heads, body)

    def _render_row(self, slug: str, name: str, figures: list[str]) -> Markup:
        cells = Markup().join(
            Markup("<td>{}</td>").format(
                figure_html(
                    self._table.get(slug, figure),
                    href=f"{self._up}bikes/{slug}/#{figure_anchor(figure)}",
                    first=self._first,
                )
            )
            for figure in figures
        )
        return Markup('<tr><th scope="row">{}</th>{}</tr>').format(
            self._render_bike_link(slug, name), cells
        )

    def _render_bike_link(self, slug: str, name: str) -> Markup:
        return Markup('<a class="bike" href="{}bikes/{}/">{}</a>').format(self._up, slug, name)

    def _find_bike(self, slug: str) -> Bike:
        bike = self._table.bike(slug)
        if bike is None:
            slugs = [each.slug for each in self._table.bikes]
            raise WordUseError(
                f"there is no bike {slug!r}", suggest_name(slug, slugs, "bikes/"), slug
            )
        return bike

    def _find_kind(self, figure: str) -> FigureKind:
        if figure not in self._table.kinds:
            raise WordUseError(
                f"there is no figure {figure!r}",
                suggest_name(figure, self._table.kinds, "the methods page"),
                figure,
            )
        return self._table.kinds[figure]

    def _run_word(
        self,
        budget: Budget,
        word: str,
        method: Callable[..., RenderedWord],
        *args: object,
        line_: int,
        **kwargs: object,
    ) -> str:
        try:
            try:
                inspect.signature(method).bind(*args, **kwargs)
            except TypeError as error:
                raise WordUseError(
                    f"{word}() has the wrong arguments: {error}", f"Write {USAGE[word]}"
                ) from error
            piece = method(*args, **kwargs)
        except WordUseError as wrong:
            self.faults.append(TextFault(line_, wrong.what, wrong.mend, wrong.fragment))
            budget.count_fault(line_)
            return "?"
        budget.count_html(piece.html, line_)
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


def _lower_title(title: str) -> str:
    """A title for use within a sentence: in lower case, unless it is an abbreviation or a name."""
    rest = title[1:]
    return title[:1].lower() + rest if rest[:1].islower() and rest == rest.lower() else title
