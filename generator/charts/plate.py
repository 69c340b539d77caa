"""What a chart is made of, before anything is drawn."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, Union

from generator.figures.table import FiguresTable

if TYPE_CHECKING:
    from generator.charts.bars import BarChart
    from generator.charts.lines import LineChart
    from generator.charts.vega_chart import VegaChart

Row = dict[str, Any]
System = Literal["metric", "us"]
Layout = Union["LineChart", "BarChart", "VegaChart"]
"""Lines or bars, which we draw, or what a library draws."""


@dataclass(frozen=True)
class Plate:
    """One kind of chart: its rows, its picture, its words.

    `rows` gives the tidy rows to draw, already in the units of `system` and rounded; every other part works on
    those rows alone.
    """

    title: str
    rows: Callable[[FiguresTable, str, System], list[Row]]
    layout: Callable[[Sequence[Row], System], Layout]
    """What stands where, not yet drawn; `svg.drawn` draws it."""
    finding: Callable[[Sequence[Row], System], str]
    """One sentence that the rows bear out."""
    note: Callable[[Sequence[Row], System], str]
    """How to read it: what the marks and the interval are."""
    grid: Callable[[Sequence[Row], System], tuple[list[str], list[list[str]]]]
    """Head and body of the data table; the first column is the row head."""


def level_name(name: str) -> str:
    """A level whose maker only numbers it is called by its number, `level 3`."""
    return f"level {name}" if name.isdigit() else name


def units(system: System) -> tuple[float, str, float, str]:
    """Factor and symbol of speed [m/s] and of distance [m]."""
    if system == "us":
        return 3600 / 1609.344, "mph", 1 / 1609.344, "mi"
    return 3.6, "km/h", 0.001, "km"
