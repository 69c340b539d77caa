"""A ranking as a page shows it: the short list with reasons, other bikes, bikes left out, and changes to the answers."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.chooser.changes import find_changes
from generator.figures.chooser.model import Candidate, ChooserAnswers, RankedBike, Ranking
from generator.figures.chooser.ranking import BikeRanker
from generator.figures.chooser.rule import SHORTLIST
from generator.pages.choose.address import format_query
from generator.pages.choose.words import SentenceWriter
from generator.pages.frame import numbers, urls
from generator.pages.frame.renderer import Renderer

MOST_OTHERS = 5
"""Most bikes after the short list named on a plain page."""
MOST_LEFT_OUT = 20
"""Most bikes left out that a plain page names."""


@dataclass(frozen=True)
class RankedRow:
    """A ranked bike."""

    name: str
    href: str
    score: int
    """From 0 to 100."""
    facts: str
    """Price and, unless it is on sale, status."""
    close: bool
    reasons: list[Markup]
    doubts: list[Markup]


@dataclass(frozen=True)
class UnrankedBike:
    """A bike outside the ranking, with reasons."""

    name: str
    href: str
    why: list[Markup]


@dataclass(frozen=True)
class AnswerChange:
    """A change to one answer that would put another bike first."""

    words: str
    href: str
    name: str
    bike: str


@dataclass(frozen=True)
class ChooserResult:
    """Everything that a page shows of a ranking."""

    status: str
    rows: list[RankedRow]
    others: list[RankedRow]
    more: int
    """Number of bikes that fit and are not named."""
    apart: list[UnrankedBike]
    left: list[UnrankedBike]
    more_left: int
    other_uses: int
    changes: list[AnswerChange]


def build_result(
    renderer: Renderer, ranker: BikeRanker, answers: ChooserAnswers, ranking: Ranking, path: str
) -> ChooserResult:
    """The ranking for these answers, with links relative to `path`."""
    chooser = ranker.chooser

    def link_figure(slug: str, id: str) -> str:
        derived = f"#{numbers.figure_anchor(id)}" if renderer.table.get(slug, id) else ""
        return urls.link(path, urls.bike(slug) + derived)

    def link_bike(bike: Candidate) -> str:
        return urls.link(path, urls.bike(bike.slug))

    words = SentenceWriter(chooser, answers, renderer.system, link_figure)
    rows = [
        RankedRow(
            name=place.bike.name,
            href=link_bike(place.bike),
            score=math.floor(place.score / 10 + 0.5),
            facts=describe_price(words, place.bike),
            close=place.close,
            reasons=[words.write_reason(place.bike, each) for each in place.fits if each.weight],
            doubts=[words.write_doubt(place.bike, must) for must in place.doubts],
        )
        for place in ranking.ranked[: SHORTLIST + MOST_OTHERS]
    ]
    left = [(bike, musts) for bike, musts in ranking.left_out if musts != ("use",)]
    if not ranking.ranked:
        left.sort(key=lambda each: len(each[1]))  # the nearest misses first
    there = urls.link(path, urls.CHOOSE)
    return ChooserResult(
        status=describe_outcome(ranking.ranked),
        rows=rows[:SHORTLIST],
        others=rows[SHORTLIST:],
        more=len(ranking.ranked) - len(rows),
        apart=[
            UnrankedBike(bike.name, link_bike(bike), [words.write_apart(bike, why)])
            for bike, why in ranking.set_apart
        ],
        left=[
            UnrankedBike(
                bike.name, link_bike(bike), [words.write_missed(bike, must) for must in musts]
            )
            for bike, musts in left[:MOST_LEFT_OUT]
        ],
        more_left=max(len(left) - MOST_LEFT_OUT, 0),
        other_uses=len(ranking.left_out) - len(left),
        changes=[
            AnswerChange(
                each.words,
                there + format_query(chooser, each.answers),
                each.bike.name,
                link_bike(each.bike),
            )
            for each in find_changes(ranker, answers)
        ],
    )


def describe_price(words: SentenceWriter, bike: Candidate) -> str:
    """Price and, unless it is on sale, status of a bike in a few words."""
    price = (
        words.format_money(bike.price)
        if bike.price is not None
        else f"priced in {bike.currency}"
        if bike.currency
        else "no price known"
    )
    return f"{price}, {bike.status}" if bike.status != "on sale" else price


def describe_outcome(ranked: Sequence[RankedBike]) -> str:
    """How many bikes fit and which is first, in a sentence."""
    names = [place.bike.name for place in ranked[:2]]
    if not names:
        return "No bike meets all must-haves."
    if len(names) == 1:
        return f"1 bike fits: {names[0]}."
    close = f", and {names[1]} is close to it" if ranked[1].close else ""
    return f"{len(ranked)} bikes fit; first is {names[0]}{close}."
