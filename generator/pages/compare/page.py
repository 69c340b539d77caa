"""Two bikes side by side, the list of all such pages, and the page on which a reader chooses two to four."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

from markupsafe import Markup

from generator.figures.model import Kind
from generator.pages.compare import bike_cards, comparison
from generator.pages.compare.comparison import MOST, UNTOLD, called, facts, plainly
from generator.pages.compare.differences import mark, verdict
from generator.pages.compare.pairs import Pairs
from generator.pages.frame import numbers, urls
from generator.pages.frame.jobs import Job, seeing
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Page, Renderer
from generator.pages.lists import bike_table
from generator.specs.bike import Bike

LISTED = 60
"""Pairs of one use that a page lists; each bike's own page names all of its own."""


class Row(NamedTuple):
    """One kind of figure, or one stated fact, of all bikes."""

    title: str
    href: str
    words: str
    """What it means, for a main figure."""
    cells: list[tuple[Markup, str]]
    """Number and mark of each bike."""
    verdict: str
    clear: bool
    """Is there a clear difference?"""


@dataclass(frozen=True)
class Table:
    id: str
    title: str
    rows: list[Row]

    @property
    def clear(self) -> str:
        """How many of its rows differ."""
        return f"{sum(row.clear for row in self.rows)} of {len(self.rows)} differ clearly"


def jobs(renderer: Renderer, pairs: Pairs) -> Iterator[Job]:
    """Cards and the page of all pairs, then one for each pair."""
    yield Job(partial(_first, renderer, pairs))
    for pair in pairs.all:
        yield seeing(renderer, pair, partial(_of_pair, pair))


def _first(renderer: Renderer, pairs: Pairs) -> Iterator[Output]:
    yield from bike_cards.outputs(renderer)
    yield renderer.render_page(_index(renderer, pairs))


def _of_pair(pair: tuple[Bike, Bike], renderer: Renderer) -> Iterator[Output]:
    yield renderer.render_page(_pair(renderer, pair))


def listed(pairs: Pairs, use: str, path: str) -> tuple[list[tuple[str, str]], int]:
    """Words and link of the pairs of a use, so many as a page lists; and how many more there are."""
    found = [pair for pair in pairs.all if all(use in bike.uses for bike in pair)]
    rows = [
        (
            " or ".join(bike.full_name for bike in pair),
            urls.link(path, urls.comparison(*_slugs(pair))),
        )
        for pair in found[:LISTED]
    ]
    return rows, len(found) - len(rows)


def _slugs(pair: Sequence[Bike]) -> tuple[str, str]:
    return pair[0].slug, pair[1].slug


def _index(renderer: Renderer, pairs: Pairs) -> Page:
    path = urls.COMPARE
    groups = [
        (bike_table.title(use), *listed(pairs, use, path)) for use in bike_table.by_use(renderer)
    ]
    currency = renderer.settings.currency
    return Page(
        path=path,
        template="compare.html",
        title="Compare",
        description="Two to four bikes side by side, figure by figure; and pairs for the same use at a similar price.",
        scripts=("compare",),
        values={
            "groups": [group for group in groups if group[1]],
            "currency": currency,
            "chart": renderer.chart(currency, "price.range"),
            "most": MOST,
        },
    )


def _pair(renderer: Renderer, pair: tuple[Bike, Bike]) -> Page:
    path = urls.comparison(*_slugs(pair))
    names = tuple(bike.full_name for bike in pair)
    tables = side_by_side(renderer, pair, path)
    shared = [use for use in pair[0].uses if use in pair[1].uses]
    return Page(
        path=path,
        template="pair.html",
        title=" or ".join(names),
        description=f"{' and '.join(names)} side by side: {summary(tables[0].rows)}",
        above=(("Compare", urls.COMPARE),),
        values={
            "names": names,
            "bikes": pair,
            "hrefs": tuple(urls.link(path, urls.bike(bike.slug)) for bike in pair),
            "uses": [(bike_table.title(use), urls.link(path, urls.use(use))) for use in shared],
            "tables": tables,
            "stated": stated(renderer, pair),
            "summary": summary(tables[0].rows),
            "more": f"{urls.link(path, urls.COMPARE)}?bikes={','.join(_slugs(pair))}",
        },
    )


def side_by_side(renderer: Renderer, bikes: Sequence[Bike], path: str) -> list[Table]:
    """The parts of a comparison of two bikes or more, the main figures first; in each, clear differences first."""
    found = []
    for part in comparison.parts(renderer.table.kinds.values()):
        rows = [row for kind in part.kinds if (row := _row(renderer, kind, bikes, path))]
        if rows:
            found.append(Table(part.id, part.title, sorted(rows, key=lambda row: not row.clear)))
    return found


def _row(renderer: Renderer, kind: Kind, bikes: Sequence[Bike], path: str) -> Row | None:
    """None when no bike has the figure."""
    figures = [renderer.table.get(bike.slug, kind.id) for bike in bikes]
    if not any(figures):
        return None
    said = verdict(figures, called(bikes))
    return Row(
        kind.title,
        urls.link(path, numbers.explained_at(kind.id)),
        plainly(kind) if kind.headline else "",
        [
            (renderer.number(each, path, interval=True), mark(said, place))
            for place, each in enumerate(figures)
        ],
        said.words,
        said.clear,
    )


def stated(renderer: Renderer, bikes: Sequence[Bike]) -> Table:
    """What the sheets state in words, what differs first."""
    each = [facts(renderer, bike) for bike in bikes]
    rows = []
    for title in each[0]:
        words = [one[title] for one in each]
        known = [text for text in words if text not in UNTOLD]
        differ = len(set(known)) > 1
        alike = "the same" if len(known) == len(words) else "not known for all"
        cells = [(Markup.escape(text), "") for text in words]
        rows.append(Row(title, "", "", cells, "different" if differ else alike, differ))
    return Table("stated", "How they are built", sorted(rows, key=lambda row: not row.clear))


def summary(rows: Sequence[Row]) -> str:
    """How many of the main figures differ; templates/scripts/compare.js says the same."""
    clear = sum(row.clear for row in rows)
    return f"{clear} of {len(rows)} main figures differ clearly."
