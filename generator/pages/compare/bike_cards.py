"""Data files for comparisons in the browser: for each bike its figures as ready texts, and the kinds of figures."""

from collections.abc import Iterator
from typing import Any

from generator.figures.model import Figure, FigureKind
from generator.pages.compare import comparison
from generator.pages.compare.comparison import ComparisonPart, explain_kind, list_facts
from generator.pages.frame import browser_data, numbers, urls
from generator.pages.frame.browser_data import make_data_file
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

KINDS_PATH = "data/kinds.js"


def find_card_path(slug: str) -> str:
    """Path of the data file of a bike."""
    return f"bikes/{slug}/card.js"


def outputs(renderer: Renderer) -> Iterator[Output]:
    """The data file of the kinds of figures."""
    parts = comparison.group_kinds(renderer.table.kinds.values())
    titles = next((list(list_facts(renderer, bike)) for bike in renderer.table.bikes), [])
    yield make_data_file(
        KINDS_PATH,
        {
            "parts": [[part.id, part.title, [kind.id for kind in part.kinds]] for part in parts],
            "facts": titles,
            "untold": comparison.UNKNOWN_TEXTS,
            "kinds": {kind.id: _pack_kind(kind) for kind in renderer.table.kinds.values()},
        },
    )


def make_card(renderer: Renderer, bike: Bike) -> Iterator[Output]:
    """The data file of one bike."""
    parts = comparison.group_kinds(renderer.table.kinds.values())
    yield make_data_file(find_card_path(bike.slug), _pack_card(renderer, bike, parts))


def _pack_kind(kind: FigureKind) -> dict[str, Any]:
    return {
        "title": kind.title,
        "short": kind.short,
        "better": kind.better,
        "group": kind.group,
        "words": kind.words,
        "plain": explain_kind(kind) if kind.headline else "",
        "href": numbers.method_entry_path(kind.id),
        "unit": browser_data.describe_unit(kind.unit),
    }


def _pack_card(renderer: Renderer, bike: Bike, parts: list[ComparisonPart]) -> dict[str, Any]:
    figures = renderer.table.figures_of(bike.slug)
    return {
        "slug": bike.slug,
        "name": bike.full_name,
        "called": bike.name,
        "href": urls.bike(bike.slug),
        "summary": bike.summary,
        "uses": bike.uses,
        "price": bike.price.amount if bike.price else None,
        "currency": bike.price.currency if bike.price else "",
        "facts": list(list_facts(renderer, bike).values()),
        "figures": {
            kind.id: pack_figure(kind, figures[kind.id])
            for part in parts
            for kind in part.kinds
            if kind.id in figures
        },
    }


def pack_figure(kind: FigureKind, figure: Figure) -> list[Any]:
    """Value, low, high, metric text, US text (0: the same), and the unit where it is not the kind's own."""
    metric, us = (numbers.format_in_system(figure, system, True) for system in ("metric", "us"))
    found = [
        *(browser_data.round_digits(each, 6) for each in (figure.value, figure.low, figure.high)),
        metric,
        0 if us == metric else us,
    ]
    return found if figure.kind.unit == kind.unit else [*found, figure.kind.unit.si]
