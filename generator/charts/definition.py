"""What a chart is made of, before anything is drawn."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from generator.charts.drawing.bars import BarChart
from generator.charts.drawing.lines import LineChart
from generator.charts.rows import Row, System
from generator.charts.vega.chart import VegaChart
from generator.figures.table.figures_table import FiguresTable

Layout = LineChart | BarChart | VegaChart
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
