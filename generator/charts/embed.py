"""Charts by name, as a `<figure>` with picture, words and data table.

* find_definition     the definition of a chart
* lay_out_chart       one chart laid out
* draw_layout         a layout as SVG
* figure_for          the whole `<figure>` as safe HTML
* name_svg            an SVG with its name for screen readers
* render_data_table   drawn numbers as an HTML table

Charts that every bike has are drawn by our own code. Vega draws the others, which is slow (about 30 ms), so a caller
may pass a `draw_with_vega` of its own, such as a cached one.
"""

import re
from collections.abc import Callable, Sequence
from importlib import import_module

from markupsafe import Markup, escape

from generator.charts.definition import ChartDefinition, Layout
from generator.charts.drawing import draw_svg, theme
from generator.charts.drawing.bars import BarChart, draw_bar_chart
from generator.charts.drawing.line_svg import draw_line_chart
from generator.charts.drawing.lines import LineChart
from generator.charts.rows import System
from generator.charts.vega.chart import VegaChart
from generator.figures.table.figures_table import FiguresTable

CHARTS = {
    "hills.speed_by_grade": "speed_by_grade",
    "range.by_level": "range_by_level",
    "assist.motor_by_rider": "motor_by_rider",
    "assist.launch": "launch",
    "gears.cadence_by_speed": "cadence_by_speed",
    "price.range": "price_against_range",
}
"""Module in `kinds` by a chart's name. The slug of `price.range` is a currency's code."""

NAMES = tuple(CHARTS)

__all__ = [
    "CHARTS",
    "NAMES",
    "NoSuchChartError",
    "VegaDrawing",
    "draw_layout",
    "draw_with_vega",
    "figure_for",
    "find_definition",
    "lay_out_chart",
    "name_svg",
    "render_data_table",
]

VegaDrawing = Callable[[VegaChart], str]
"""From a chart for Vega to its SVG."""


def draw_with_vega(chart: VegaChart) -> str:
    """The chart as SVG, drawn by Vega."""
    return draw_svg.draw_spec(chart.build_spec())


class NoSuchChartError(KeyError):
    """No chart has the name."""

    def __init__(self, name: str) -> None:
        super().__init__(f"there is no chart named {name!r}; there are {', '.join(CHARTS)}")


def find_definition(name: str) -> ChartDefinition:
    """The definition of the chart with this name.

    Raises
    ------
    NoSuchChartError
    """
    if name not in CHARTS:
        raise NoSuchChartError(name)
    found: ChartDefinition = import_module(f"generator.charts.kinds.{CHARTS[name]}").DEFINITION
    return found


def lay_out_chart(
    table: FiguresTable, slug: str, name: str, system: System = "metric"
) -> Layout | None:
    """One chart laid out; None if it has no rows."""
    chart = find_definition(name)
    rows = chart.rows(table, slug, system)
    return chart.layout(rows, system) if rows else None


def draw_layout(layout: Layout, convert: VegaDrawing = draw_with_vega) -> str:
    """The layout as SVG, sized in pixels; `draw_with_vega` draws a chart for Vega."""
    if isinstance(layout, LineChart):
        return draw_line_chart(layout)
    if isinstance(layout, BarChart):
        return draw_bar_chart(layout)
    return convert(layout)


def figure_for(
    table: FiguresTable,
    slug: str,
    name: str,
    *,
    system: System = "metric",
    convert: VegaDrawing = draw_with_vega,
    heading: str = "",
    numbers_in: str = "",
) -> Markup:
    """A `<figure>` with the picture, a one-sentence finding and the data; empty if the chart has no rows.

    `heading` stands before the title, such as a bike's name on a page that is not the bike's own. `numbers_in` is the
    id of a table on the same page with the numbers drawn; without it the figure has a table of its own.
    """
    chart = find_definition(name)
    rows = chart.rows(table, slug, system)
    if not rows:
        return Markup("")
    finding, note = chart.finding(rows, system), chart.note(rows, system)
    key = f"chart-{slug}-{name}".replace(".", "-").lower()
    title = f"{heading}: {chart.title}" if heading else chart.title
    picture = name_svg(draw_layout(chart.layout(rows, system), convert), key, title)
    other: System = "metric" if system == "us" else "us"
    if numbers_in:
        numbers = (
            f'<p class="chart__data"><a href="#{escape(numbers_in)}">The numbers drawn</a></p>'
        )
    else:
        head, body = merge_unit_systems(
            chart.data_table(rows, system),
            chart.data_table(chart.rows(table, slug, other), other),
            system,
        )
        drawn_in = render_data_table(title, head, body)
        numbers = (
            f'<details class="chart__data"><summary>The numbers drawn</summary>{drawn_in}</details>'
        )
    return Markup(
        f'<figure class="chart" id="{escape(key)}" data-chart="{escape(name)}" data-of="{escape(slug)}">'
        f'<div class="chart__plate">{picture}</div>'
        f'<figcaption><div class="chart__words"><strong>{escape(title)}</strong> '
        f'<span class="chart__finding" id="{escape(key)}-about">{escape(finding)}</span> '
        f'<span class="chart__note">{escape(note)}</span></div>{numbers}</figcaption></figure>'
    )


def name_svg(svg: str, key: str, title: str) -> str:
    """The SVG with its name for screen readers; the finding in the caption is its description."""
    size = re.match(r'<svg[^>]*? width="([\d.]+)" height="([\d.]+)"', svg)
    width, height = (size[1], size[2]) if size else (str(theme.WIDTH), "250")
    start = (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{escape(key)}-name" '
        f'aria-describedby="{escape(key)}-about" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}"><title id="{escape(key)}-name">{escape(title)}</title>'
    )
    return re.sub(r"^<svg[^>]*>", lambda _: start, svg, count=1)


TableCells = tuple[list[str], list[list[str]]]


def merge_unit_systems(
    first: TableCells, other: TableCells, system: System
) -> tuple[list[Markup], list[list[Markup]]]:
    """A data table in both unit systems, `first` being in `system`; a cell that differs shows both, the second in brackets."""
    leading, following = ("us", "metric") if system == "us" else ("metric", "us")

    def merge_cell(one: str, two: str) -> Markup:
        if one == two:
            return escape(one)
        name, comma, _ = one.rpartition(", ")
        before = name + comma if two.startswith(name + comma) else ""
        one, two = one[len(before) :], two[len(before) :]
        return Markup(
            f'{escape(before)}<span class="u-{leading}">{escape(one)}</span> '
            f'<span class="u-{following}">({escape(two)})</span>'
        )

    pairs = zip(first[1], other[1], strict=True)
    return (
        [merge_cell(*both) for both in zip(first[0], other[0], strict=True)],
        [[merge_cell(*both) for both in zip(*lines, strict=True)] for lines in pairs],
    )


def render_data_table(title: str, head: Sequence[str], body: Sequence[Sequence[str]]) -> Markup:
    """Drawn numbers as an HTML table; the first cell of each line is its head."""
    columns = "".join(f'<th scope="col">{escape(cell)}</th>' for cell in head)
    lines = "".join(
        f'<tr><th scope="row">{escape(line[0])}</th>'
        + "".join(f"<td>{escape(cell)}</td>" for cell in line[1:])
        + "</tr>"
        for line in body
    )
    return Markup(
        f'<div class="table-scroll" role="region" tabindex="0" aria-label="Table: {escape(title)}">'
        f'<table class="data"><caption>{escape(title)}</caption><thead><tr>{columns}</tr></thead>'
        f"<tbody>{lines}</tbody></table></div>"
    )
