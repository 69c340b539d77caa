"""What a chart to explore loads when a reader asks for it: the forms, the rows of each bike, the chart library."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from generator.charts.drawing import theme
from generator.charts.vega import columns, explore
from generator.figures.model import Unit
from generator.pages.frame import browser_data
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

FORMS = "assets/chart-forms.js"
LIBRARY = "assets/vega.js"
BIKE_CHARTS = tuple(name for name in explore.KINDS if name != "price.range")
TOKENS = {
    theme.INK: "--ink",
    theme.MUTED: "--muted",
    theme.RULE: "--rule",
    explore.WASH: "--wash",
    **{colour: f"--series-{place}" for place, colour in enumerate(theme.SERIES[:4], 1)},
}
"""Colour of a form to the property of the style sheet that the browser reads in its place."""


def jobs(renderer: Renderer, library: Callable[[], str]) -> Iterator[Job]:
    """The rows of charts of many bikes, and what all charts need; nothing without a chart.

    `library` gives the chart library's script.
    """
    prices = list(_prices(renderer))
    if prices or any(_rows(renderer, bike) for bike in renderer.table.bikes):
        yield Job(lambda: prices)
        yield Job(partial(_needed, library), "what all charts need")


def _prices(renderer: Renderer) -> Iterator[Output]:
    table = renderer.table
    for currency in sorted({bike.price.currency for bike in table.bikes if bike.price}):
        if rows := columns.columns(table, currency, "price.range"):
            kept = {"price.range": short(rows)}
            yield browser_data.data_file(f"compare/prices-{currency}.js", kept)


def _needed(library: Callable[[], str]) -> Iterator[Output]:
    yield browser_data.data_file(FORMS, forms())
    yield Output(LIBRARY, library().encode())


def of_bike(renderer: Renderer, bike: Bike) -> Iterator[Output]:
    """The rows of a bike's charts, if it has one."""
    if found := _rows(renderer, bike):
        kept = {name: short(rows) for name, rows in found.items()}
        yield browser_data.data_file(f"bikes/{bike.slug}/curves.js", kept)


def _rows(renderer: Renderer, bike: Bike) -> dict[str, Any]:
    found = {name: columns.columns(renderer.table, bike.slug, name) for name in BIKE_CHARTS}
    return {name: rows for name, rows in found.items() if rows}


def forms() -> dict[str, Any]:
    """The forms and the kinds of charts, as the browser takes them."""
    specs = {
        name: {key: part for key, part in spec.items() if key != "config"}
        for name, spec in explore.forms().items()
    }
    return {
        "forms": specs,
        "config": theme.config(),
        "tokens": TOKENS,
        "titles": [explore.X_TITLE, explore.Y_TITLE],
        "kinds": {name: _kind(name, kind) for name, kind in explore.KINDS.items()},
    }


def _kind(name: str, kind: explore.Kind) -> dict[str, Any]:
    rows = "compare/prices-{of}.js" if name == "price.range" else "bikes/{of}/curves.js"
    return {
        "form": kind.form,
        "rows": rows,
        "x": kind.x,
        "xUnit": _unit(kind.x_unit) if kind.x_unit else None,
        "y": kind.y,
        "yUnit": _unit(kind.y_unit),
        "series": kind.series,
        "mark": kind.mark,
        "words": kind.words,
    }


def _unit(unit: Unit) -> dict[str, list[Any]]:
    return browser_data.unit(unit)


def short(value: Any) -> Any:
    """The same with every number to four digits."""
    if isinstance(value, dict):
        return {key: short(each) for key, each in value.items()}
    if isinstance(value, list):
        return [short(each) for each in value]
    return browser_data.short(value) if isinstance(value, float) else value
