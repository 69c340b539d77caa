"""Data files for tables in the browser: the list of all bikes, and a column for each kind of figure."""

from collections.abc import Iterator, Sequence
from typing import Any

from generator.figures.model import Figure, FigureKind
from generator.figures.show import UnitSystem
from generator.pages.compare import comparison
from generator.pages.frame import browser_data, numbers
from generator.pages.frame.browser_data import (
    format_script_value,
    make_data_file,
    make_data_file_of_text,
)
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.pages.lists import bike_table
from generator.specs.bike import Bike

BIKES_PATH = "data/bikes.js"
CHOICES = {
    "use": "Use",
    "motor": "Motor",
    "sensor": "Sensor",
    "law": "In law, {region}",
    "status": "Status",
}
"""What a table can be filtered by apart from figures, with labels; `{region}` is the publication's region."""
FIELDS = ("slug", "maker", "name", "price", "currency", *CHOICES)
"""Fields of each row of the list of bikes, in order; `use` is a list."""
COLUMNS_PER_JOB = 16
"""Columns that one process writes at a time."""
SYSTEMS: tuple[UnitSystem, UnitSystem] = ("metric", "us")


def find_column_path(figure_id: str) -> str:
    """Path of the data file of a kind of figure."""
    return f"data/columns/{figure_id}.js"


def plan_jobs(renderer: Renderer) -> Iterator[Job]:
    """Yield a job for the list of bikes, and jobs for the columns, in the same order of bikes."""
    yield Job(_make_list, long=True)
    kinds = list(renderer.table.kinds)
    for start in range(0, len(kinds), COLUMNS_PER_JOB):
        yield Job(_make_columns, (kinds[start : start + COLUMNS_PER_JOB],), long=True)


def _make_list(renderer: Renderer) -> Iterator[Output]:
    found = build_rows(renderer)
    listed = [found[bike.slug] for bike in _sort_bikes(renderer)]
    yield make_data_file(BIKES_PATH, {"fields": FIELDS, "rows": listed})


def _make_columns(renderer: Renderer, ids: Sequence[str]) -> Iterator[Output]:
    kinds = [renderer.table.kinds[id] for id in ids]

    def pack_cells(renderer: Renderer, bike: Bike) -> list[str]:
        return [
            format_script_value(_pack_figure(kind, renderer.table.get(bike.slug, kind.id)))
            for kind in kinds
        ]

    found = renderer.for_each_bike(f"columns from {ids[0]}", list[str], pack_cells, len(ids))
    ordered = [found[bike.slug] for bike in _sort_bikes(renderer)]
    for place, kind in enumerate(kinds):
        yield make_data_file_of_text(
            find_column_path(kind.id), f"[{','.join(each[place] for each in ordered)}]"
        )


def _sort_bikes(renderer: Renderer) -> list[Bike]:
    return bike_table.sort_bikes(renderer.table.bikes, renderer.settings.currency)


def build_rows(renderer: Renderer) -> dict[str, list[Any]]:
    """Row of each bike in the list, by slug."""
    return renderer.for_each_bike("row of the list", list[Any], _build_row)


def read_choices(row: list[Any]) -> dict[str, Any]:
    """The answer to each of `CHOICES` in a bike's row."""
    return dict(zip(CHOICES, row[-len(CHOICES) :], strict=True))


def _find_choices(renderer: Renderer, bike: Bike) -> dict[str, Any]:
    return {
        "use": bike.uses,
        "motor": bike.motor.place,
        "sensor": bike.assist.sensor or comparison.NOT_KNOWN,
        "law": comparison.find_category(renderer, bike),
        "status": bike.status,
    }


def _build_row(renderer: Renderer, bike: Bike) -> list[Any]:
    price = browser_data.round_digits(bike.price.amount, 9) if bike.price else None
    currency = bike.price.currency if bike.price else ""
    own = _find_choices(renderer, bike)
    return [bike.slug, bike.maker, bike.name, price, currency, *(own[id] for id in CHOICES)]


def _pack_figure(kind: FigureKind, figure: Figure | None) -> list[Any] | int:
    """0 where the bike has no such figure.

    Otherwise value, low, high; text and interval in metric, then in US units (each 0 if both are the same); and the
    unit if it is not the kind's own.
    """
    if figure is None:
        return 0
    ends = [browser_data.round_digits(each, 6) for each in (figure.value, figure.low, figure.high)]
    metric, us = (
        [numbers.format_in_system(figure, system, False), numbers.format_interval(figure, system)]
        for system in SYSTEMS
    )
    found = [*ends, *metric, *([0, 0] if us == metric else us)]
    return found if figure.kind.unit == kind.unit else [*found, figure.kind.unit.si]
