"""Definition of a kind of chart: its rows, its layout, its words and its data table."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from generator.charts.drawing.bars import BarChart
from generator.charts.drawing.lines import LineChart
from generator.charts.rows import ChartRow, System
from generator.charts.vega.chart import VegaChart
from generator.figures.table.figures_table import FiguresTable

Layout = LineChart | BarChart | VegaChart
"""A chart laid out but not drawn: lines or bars, which we draw, or a specification for Vega."""


@dataclass(frozen=True)
class ChartDefinition:
    """One kind of chart.

    `rows` gives the tidy rows of a slug, in the units of `system` and rounded; every other function takes those rows
    alone.
    """

    title: str
    rows: Callable[[FiguresTable, str, System], list[ChartRow]]
    layout: Callable[[Sequence[ChartRow], System], Layout]
    """The chart laid out; `embed.draw_layout` draws it."""
    finding: Callable[[Sequence[ChartRow], System], str]
    """One sentence that follows from the rows."""
    note: Callable[[Sequence[ChartRow], System], str]
    """How to read the chart: what its marks and intervals are."""
    data_table: Callable[[Sequence[ChartRow], System], tuple[list[str], list[list[str]]]]
    """Head and body of the data table; the first column holds the row heads."""
