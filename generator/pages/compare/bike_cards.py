"""Data for comparisons in the browser: a card for each bike with its figures as ready texts, and the kinds of figures."""

from collections.abc import Iterator
from typing import Any

from generator.figures.model import Figure, Kind
from generator.pages.compare import comparison
from generator.pages.compare.comparison import Part, facts, plainly
from generator.pages.frame import browser_data, numbers, urls
from generator.pages.frame.browser_data import data_file
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

KINDS = "data/kinds.js"


def path(slug: str) -> str:
    return f"bikes/{slug}/card.js"


def outputs(renderer: Renderer) -> Iterator[Output]:
    parts = comparison.parts(renderer.table.kinds.values())
    titles = next((list(facts(renderer, bike)) for bike in renderer.table.bikes), [])
    yield data_file(
        KINDS,
        {
            "parts": [[part.id, part.title, [kind.id for kind in part.kinds]] for part in parts],
            "facts": titles,
            "untold": comparison.UNTOLD,
            "kinds": {kind.id: _kind(kind) for kind in renderer.table.kinds.values()},
        },
    )


def of_bike(renderer: Renderer, bike: Bike) -> Iterator[Output]:
    parts = comparison.parts(renderer.table.kinds.values())
    yield data_file(path(bike.slug), _card(renderer, bike, parts))


def _kind(kind: Kind) -> dict[str, Any]:
    return {
        "title": kind.title,
        "short": kind.short,
        "better": kind.better,
        "group": kind.group,
        "words": kind.words,
        "plain": plainly(kind) if kind.headline else "",
        "href": numbers.explained_at(kind.id),
        "unit": browser_data.unit(kind.unit),
    }


def _card(renderer: Renderer, bike: Bike, parts: list[Part]) -> dict[str, Any]:
    figures = renderer.table.of(bike.slug)
    return {
        "slug": bike.slug,
        "name": bike.full_name,
        "called": bike.name,
        "href": urls.bike(bike.slug),
        "summary": bike.summary,
        "uses": bike.uses,
        "price": bike.price.amount if bike.price else None,
        "currency": bike.price.currency if bike.price else "",
        "facts": list(facts(renderer, bike).values()),
        "figures": {
            kind.id: entry(kind, figures[kind.id])
            for part in parts
            for kind in part.kinds
            if kind.id in figures
        },
    }


def entry(kind: Kind, figure: Figure) -> list[Any]:
    """Value, low, high, metric text, US text (0: the same), and the unit where it is not the kind's own."""
    metric, us = (numbers.in_system(figure, system, True) for system in ("metric", "us"))
    found = [
        *(browser_data.short(each, 6) for each in (figure.value, figure.low, figure.high)),
        metric,
        0 if us == metric else us,
    ]
    return found if figure.kind.unit == kind.unit else [*found, figure.kind.unit.si]
