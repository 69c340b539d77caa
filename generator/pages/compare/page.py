"""Pages of two bikes side by side, and the page that lists them and lets a reader choose two to four bikes."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from markupsafe import Markup

from generator.figures.model import FigureKind
from generator.pages.compare import bike_cards, comparison
from generator.pages.compare.comparison import (
    MOST_BIKES,
    UNKNOWN_TEXTS,
    explain_kind,
    list_facts,
    shorten_names,
)
from generator.pages.compare.differences import compare_figures, format_mark
from generator.pages.compare.pairs import BikePairs
from generator.pages.frame import numbers, urls
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer
from generator.pages.lists import bike_table
from generator.specs.bike import Bike

MOST_LISTED = 60
"""Most pairs of one use on a page; each bike's page lists all of its pairs."""


class ComparisonRow(NamedTuple):
    """One kind of figure, or one stated fact, of all bikes compared."""

    title: str
    href: str
    words: str
    """Explanation of a main figure; empty for others."""
    cells: list[tuple[Markup, str]]
    """Number and mark of each bike."""
    verdict: str
    clear: bool
    """Whether there is a clear difference."""


@dataclass(frozen=True)
class ComparisonTable:
    """One part of a comparison."""

    id: str
    title: str
    rows: list[ComparisonRow]

    @property
    def clear(self) -> str:
        """How many rows differ, in words."""
        return f"{sum(row.clear for row in self.rows)} of {len(self.rows)} differ clearly"


def plan_jobs(pairs: BikePairs) -> Iterator[Job]:
    """Yield a job for the page of all pairs, then one for each pair."""
    yield Job(_make_index)
    for pair in pairs.all:
        yield Job(_make_pair, _pair_slugs(pair))


def _make_index(renderer: Renderer) -> Iterator[Output]:
    yield from bike_cards.outputs(renderer)
    yield renderer.render_page(_build_index_page(renderer, BikePairs(renderer.table.bikes)))


def _make_pair(renderer: Renderer, *slugs: str) -> Iterator[Output]:
    first, second = renderer.bikes(slugs)
    yield renderer.render_page(_build_pair_page(renderer, (first, second)))


def list_pairs(pairs: BikePairs, use: str, path: str) -> tuple[list[tuple[str, str]], int]:
    """Words and link of the first `MOST_LISTED` pairs of a use, and the number of further ones."""
    found = [pair for pair in pairs.all if all(use in bike.uses for bike in pair)]
    rows = [
        (
            " or ".join(bike.full_name for bike in pair),
            urls.link(path, urls.comparison(*_pair_slugs(pair))),
        )
        for pair in found[:MOST_LISTED]
    ]
    return rows, len(found) - len(rows)


def _pair_slugs(pair: Sequence[Bike]) -> tuple[str, str]:
    return pair[0].slug, pair[1].slug


def _build_index_page(renderer: Renderer, pairs: BikePairs) -> Page:
    path = urls.COMPARE
    groups = [
        (bike_table.find_use_title(use), *list_pairs(pairs, use, path))
        for use in bike_table.group_by_use(renderer)
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
            "most": MOST_BIKES,
        },
    )


def _build_pair_page(renderer: Renderer, pair: tuple[Bike, Bike]) -> Page:
    path = urls.comparison(*_pair_slugs(pair))
    names = tuple(bike.full_name for bike in pair)
    tables = build_tables(renderer, pair, path)
    shared = [use for use in pair[0].uses if use in pair[1].uses]
    return Page(
        path=path,
        template="pair.html",
        title=" or ".join(names),
        description=f"{' and '.join(names)} side by side: {summarize_rows(tables[0].rows)}",
        above=(("Compare", urls.COMPARE),),
        values={
            "names": names,
            "bikes": pair,
            "hrefs": tuple(urls.link(path, urls.bike(bike.slug)) for bike in pair),
            "uses": [
                (bike_table.find_use_title(use), urls.link(path, urls.use(use))) for use in shared
            ],
            "tables": tables,
            "stated": build_facts_table(renderer, pair),
            "summary": summarize_rows(tables[0].rows),
            "more": f"{urls.link(path, urls.COMPARE)}?bikes={','.join(_pair_slugs(pair))}",
        },
    )


def build_tables(renderer: Renderer, bikes: Sequence[Bike], path: str) -> list[ComparisonTable]:
    """The parts of a comparison of two bikes or more, the main figures first; in each, clear differences first."""
    found = []
    for part in comparison.group_kinds(renderer.table.kinds.values()):
        rows = [row for kind in part.kinds if (row := _build_row(renderer, kind, bikes, path))]
        if rows:
            found.append(
                ComparisonTable(part.id, part.title, sorted(rows, key=lambda row: not row.clear))
            )
    return found


def _build_row(
    renderer: Renderer, kind: FigureKind, bikes: Sequence[Bike], path: str
) -> ComparisonRow | None:
    """None when no bike has the figure."""
    figures = [renderer.table.get(bike.slug, kind.id) for bike in bikes]
    if not any(figures):
        return None
    verdict = compare_figures(figures, shorten_names(bikes))
    return ComparisonRow(
        kind.title,
        urls.link(path, numbers.method_entry_path(kind.id)),
        explain_kind(kind) if kind.headline else "",
        [
            (renderer.number(each, path, interval=True), format_mark(verdict, place))
            for place, each in enumerate(figures)
        ],
        verdict.words,
        verdict.clear,
    )


def build_facts_table(renderer: Renderer, bikes: Sequence[Bike]) -> ComparisonTable:
    """Table of the facts stated in words, different ones first."""
    each = [list_facts(renderer, bike) for bike in bikes]
    rows = []
    for title in each[0]:
        words = [one[title] for one in each]
        known = [text for text in words if text not in UNKNOWN_TEXTS]
        differ = len(set(known)) > 1
        alike = "the same" if len(known) == len(words) else "not known for all"
        cells = [(Markup.escape(text), "") for text in words]
        rows.append(ComparisonRow(title, "", "", cells, "different" if differ else alike, differ))
    return ComparisonTable(
        "stated", "How they are built", sorted(rows, key=lambda row: not row.clear)
    )


def summarize_rows(rows: Sequence[ComparisonRow]) -> str:
    """How many of the main figures differ, in words; templates/scripts/compare.js has the same sentence."""
    clear = sum(row.clear for row in rows)
    return f"{clear} of {len(rows)} main figures differ clearly."
