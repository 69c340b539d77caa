"""Data that a chart loads when a reader explores it: chart forms, the rows of each bike, the chart library."""

from collections.abc import Iterator
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
"""Property of the style sheet that the browser reads in place of a form's colour."""


def plan_jobs(renderer: Renderer) -> Iterator[Job]:
    """Yield jobs for the rows of charts over many bikes, and for what all charts need; none where there is no chart."""
    if any(_make_prices(renderer)) or any(
        _build_rows(renderer, bike) for bike in renderer.table.bikes
    ):
        yield Job(_make_prices)
        yield Job(_make_common, long=True)


def _make_prices(renderer: Renderer) -> Iterator[Output]:
    table = renderer.table
    for currency in sorted({bike.price.currency for bike in table.bikes if bike.price}):
        if rows := columns.build_columns(table, currency, "price.range"):
            rounded = {"price.range": round_numbers(rows)}
            yield browser_data.make_data_file(f"compare/prices-{currency}.js", rounded)


def _make_common(renderer: Renderer) -> Iterator[Output]:
    yield browser_data.make_data_file(FORMS, describe_forms())
    yield Output(LIBRARY, renderer.drawings.chart_library().encode())


def make_bike_rows(renderer: Renderer, bike: Bike) -> Iterator[Output]:
    """Yield the rows of a bike's charts, if it has any."""
    if found := _build_rows(renderer, bike):
        rounded = {name: round_numbers(rows) for name, rows in found.items()}
        yield browser_data.make_data_file(f"bikes/{bike.slug}/curves.js", rounded)


def _build_rows(renderer: Renderer, bike: Bike) -> dict[str, Any]:
    found = {name: columns.build_columns(renderer.table, bike.slug, name) for name in BIKE_CHARTS}
    return {name: rows for name, rows in found.items() if rows}


def describe_forms() -> dict[str, Any]:
    """Return the forms and the kinds of charts for the browser."""
    specs = {
        name: {key: part for key, part in spec.items() if key != "config"}
        for name, spec in explore.build_forms().items()
    }
    return {
        "forms": specs,
        "config": theme.config(),
        "tokens": TOKENS,
        "titles": [explore.X_TITLE, explore.Y_TITLE],
        "kinds": {name: _describe_kind(name, kind) for name, kind in explore.KINDS.items()},
    }


def _describe_kind(name: str, kind: explore.ExploredChart) -> dict[str, Any]:
    rows = "compare/prices-{of}.js" if name == "price.range" else "bikes/{of}/curves.js"
    return {
        "form": kind.form,
        "rows": rows,
        "x": kind.x,
        "xUnit": _describe_unit(kind.x_unit) if kind.x_unit else None,
        "y": kind.y,
        "yUnit": _describe_unit(kind.y_unit),
        "series": kind.series,
        "mark": kind.mark,
        "words": kind.words,
    }


def _describe_unit(unit: Unit) -> dict[str, list[Any]]:
    return browser_data.describe_unit(unit)


def round_numbers(value: Any) -> Any:
    """Return plain data with every number rounded to four significant digits."""
    if isinstance(value, dict):
        return {key: round_numbers(each) for key, each in value.items()}
    if isinstance(value, list):
        return [round_numbers(each) for each in value]
    return browser_data.round_digits(value) if isinstance(value, float) else value
