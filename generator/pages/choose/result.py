"""A ranking as a page shows it: the short list with reasons, the rest, what is left out, what would change it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.chooser.changes import changes
from generator.figures.chooser.model import Answers, Candidate, Place, Ranking
from generator.figures.chooser.ranking import Rule
from generator.figures.chooser.rule import SHORTLIST
from generator.pages.choose.address import query
from generator.pages.choose.words import Words
from generator.pages.frame import numbers, urls
from generator.pages.frame.renderer import Renderer

OTHERS = 5
"""Bikes after the short list that a plain page names."""
LEFT = 20
"""Bikes left out that a plain page names."""


@dataclass(frozen=True)
class Row:
    name: str
    href: str
    score: int
    """Of 100."""
    facts: str
    """Price and state."""
    close: bool
    reasons: list[Markup]
    doubts: list[Markup]


@dataclass(frozen=True)
class Named:
    """A bike that is named with reasons, without figures."""

    name: str
    href: str
    why: list[Markup]


@dataclass(frozen=True)
class Change:
    words: str
    href: str
    name: str
    bike: str


@dataclass(frozen=True)
class Result:
    status: str
    rows: list[Row]
    others: list[Row]
    more: int
    """Bikes that fit and are not named."""
    apart: list[Named]
    left: list[Named]
    more_left: int
    other_uses: int
    changes: list[Change]


def result(renderer: Renderer, rule: Rule, answers: Answers, ranking: Ranking, path: str) -> Result:
    """The ranking of these answers by the rule, for the page at `path`."""
    chooser = rule.chooser

    def figure_link(slug: str, id: str) -> str:
        derived = f"#{numbers.anchor(id)}" if renderer.table.get(slug, id) else ""
        return urls.link(path, urls.bike(slug) + derived)

    def href(bike: Candidate) -> str:
        return urls.link(path, urls.bike(bike.slug))

    words = Words(chooser, answers, renderer.system, figure_link)
    rows = [
        Row(
            name=place.bike.name,
            href=href(place.bike),
            score=math.floor(place.score / 10 + 0.5),
            facts=facts(words, place.bike),
            close=place.close,
            reasons=[words.reason(place.bike, each) for each in place.fits if each.weight],
            doubts=[words.doubt(place.bike, must) for must in place.doubts],
        )
        for place in ranking.places[: SHORTLIST + OTHERS]
    ]
    left = [(bike, musts) for bike, musts in ranking.left if musts != ("use",)]
    if not ranking.places:
        left.sort(key=lambda each: len(each[1]))  # the nearest misses first
    there = urls.link(path, urls.CHOOSE)
    return Result(
        status=status(ranking.places),
        rows=rows[:SHORTLIST],
        others=rows[SHORTLIST:],
        more=len(ranking.places) - len(rows),
        apart=[
            Named(bike.name, href(bike), [words.apart(bike, why)]) for bike, why in ranking.apart
        ],
        left=[
            Named(bike.name, href(bike), [words.missed(bike, must) for must in musts])
            for bike, musts in left[:LEFT]
        ],
        more_left=max(len(left) - LEFT, 0),
        other_uses=len(ranking.left) - len(left),
        changes=[
            Change(
                each.words, there + query(chooser, each.answers), each.bike.name, href(each.bike)
            )
            for each in changes(rule, answers)
        ],
    )


def facts(words: Words, bike: Candidate) -> str:
    """Price and state in a few words."""
    price = (
        words.money(bike.price)
        if bike.price is not None
        else f"priced in {bike.currency}"
        if bike.currency
        else "no price known"
    )
    return f"{price}, {bike.status}" if bike.status != "on sale" else price


def status(ranked: Sequence[Place]) -> str:
    """How many fit, in a sentence."""
    names = [place.bike.name for place in ranked[:2]]
    if not names:
        return "No bike meets all must-haves."
    if len(names) == 1:
        return f"1 bike fits: {names[0]}."
    close = f", and {names[1]} is close to it" if ranked[1].close else ""
    return f"{len(ranked)} bikes fit; first is {names[0]}{close}."
