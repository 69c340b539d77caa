"""Data for tables in the browser: the list of all bikes, and a file for each kind of figure with its column."""

from collections.abc import Iterator, Sequence
from functools import partial
from typing import Any

from generator.figures.model import Figure, Kind
from generator.figures.show import System
from generator.pages.compare import comparison
from generator.pages.frame import browser_data, numbers
from generator.pages.frame.browser_data import as_text, data_file, file_of_text
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.pages.lists import bike_table
from generator.specs.bike import Bike

BIKES = "data/bikes.js"
CHOICES = {
    "use": "Use",
    "motor": "Motor",
    "sensor": "Sensor",
    "law": "In law, {region}",
    "status": "Status",
}
"""What a table can be filtered by beside figures, with the words of its field; `{region}` is the publication's own."""
FIELDS = ("slug", "maker", "name", "price", "currency", *CHOICES)
"""What each row of the list of bikes holds, in order; `use` is a list."""
TOGETHER = 16
"""Columns that one process writes at a time."""
SYSTEMS: tuple[System, System] = ("metric", "us")


def path(figure_id: str) -> str:
    return f"data/columns/{figure_id}.js"


def jobs(renderer: Renderer) -> Iterator[Job]:
    """The bikes in the order of the shelf, and the columns, in the same order."""
    yield Job(partial(_list, renderer))
    kinds = list(renderer.table.kinds.values())
    for start in range(0, len(kinds), TOGETHER):
        yield Job(partial(_columns, renderer, kinds[start : start + TOGETHER]))


def _list(renderer: Renderer) -> Iterator[Output]:
    found = rows(renderer)
    listed = [found[bike.slug] for bike in _bikes(renderer)]
    yield data_file(BIKES, {"fields": FIELDS, "rows": listed})


def _columns(renderer: Renderer, kinds: Sequence[Kind]) -> Iterator[Output]:
    def cells(renderer: Renderer, bike: Bike) -> list[str]:
        return [as_text(_cell(kind, renderer.table.get(bike.slug, kind.id))) for kind in kinds]

    found = renderer.of_each(f"columns from {kinds[0].id}", cells, len(kinds))
    ordered = [found[bike.slug] for bike in _bikes(renderer)]
    for place, kind in enumerate(kinds):
        yield file_of_text(path(kind.id), f"[{','.join(each[place] for each in ordered)}]")


def _bikes(renderer: Renderer) -> list[Bike]:
    return bike_table.ordered(renderer.table.bikes, renderer.settings.currency)


def rows(renderer: Renderer) -> dict[str, list[Any]]:
    """The row of every bike, by slug."""
    return renderer.of_each("row of the list", _row)


def chosen(row: list[Any]) -> dict[str, Any]:
    """What the bike of a row answers to each of `CHOICES`."""
    return dict(zip(CHOICES, row[-len(CHOICES) :], strict=True))


def _chosen(renderer: Renderer, bike: Bike) -> dict[str, Any]:
    return {
        "use": bike.uses,
        "motor": bike.motor.place,
        "sensor": bike.assist.sensor or comparison.NOT_KNOWN,
        "law": comparison.category(renderer, bike),
        "status": bike.status,
    }


def _row(renderer: Renderer, bike: Bike) -> list[Any]:
    price = browser_data.short(bike.price.amount, 9) if bike.price else None
    currency = bike.price.currency if bike.price else ""
    own = _chosen(renderer, bike)
    return [bike.slug, bike.maker, bike.name, price, currency, *(own[id] for id in CHOICES)]


def _cell(kind: Kind, figure: Figure | None) -> list[Any] | int:
    """0 where the bike has no such figure.

    Else value, low, high; text and interval in metric, then in US units, 0 where they are the same; and the unit
    where it is not the kind's own.
    """
    if figure is None:
        return 0
    ends = [browser_data.short(each, 6) for each in (figure.value, figure.low, figure.high)]
    metric, us = (
        [numbers.in_system(figure, system, False), numbers.likely_in(figure, system)]
        for system in SYSTEMS
    )
    found = [*ends, *metric, *([0, 0] if us == metric else us)]
    return found if figure.kind.unit == kind.unit else [*found, figure.kind.unit.si]
