"""From a chart's name to a `<figure>`: specification, picture, words and data table.

* layout       one chart laid out
* drawn        a layout as SVG
* figure_for   the whole `<figure>` as safe HTML

Charts that every bike has are drawn in our own strokes. For others a library draws, which is slow (about 30 ms), so a
caller may hand in a `convert` of its own, such as a cached one.
"""

import re
from collections.abc import Callable, Sequence
from importlib import import_module

from markupsafe import Markup, escape

from generator.charts.definition import Layout, Plate
from generator.charts.drawing import draw_svg, theme
from generator.charts.drawing.bars import BarChart, bar_picture
from generator.charts.drawing.line_svg import line_picture
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
"""Name of each chart to its module. The slug of `price.range` is a currency's code."""

NAMES = tuple(CHARTS)

__all__ = [
    "CHARTS",
    "NAMES",
    "Convert",
    "NoSuchChartError",
    "convert",
    "data_table",
    "drawn",
    "figure_for",
    "layout",
    "named",
    "plate",
]

Convert = Callable[[VegaChart], str]
"""Gives a chart as SVG."""


def convert(chart: VegaChart) -> str:
    """The chart drawn by Vega."""
    return draw_svg.convert(chart.spec())


class NoSuchChartError(KeyError):
    """The name is none of `CHARTS`."""

    def __init__(self, name: str) -> None:
        super().__init__(f"there is no chart named {name!r}; there are {', '.join(CHARTS)}")


def plate(name: str) -> Plate:
    """The chart of that name.

    Raises
    ------
    NoSuchChartError
    """
    if name not in CHARTS:
        raise NoSuchChartError(name)
    found: Plate = import_module(f"generator.charts.kinds.{CHARTS[name]}").PLATE
    return found


def layout(table: FiguresTable, slug: str, name: str, system: System = "metric") -> Layout | None:
    """One chart laid out; None when there are no rows to draw."""
    chart = plate(name)
    rows = chart.rows(table, slug, system)
    return chart.layout(rows, system) if rows else None


def drawn(layout: Layout, convert: Convert = convert) -> str:
    """The layout as SVG, sized in pixels; `convert` is only for what is not ours to draw."""
    if isinstance(layout, LineChart):
        return line_picture(layout)
    if isinstance(layout, BarChart):
        return bar_picture(layout)
    return convert(layout)


def figure_for(
    table: FiguresTable,
    slug: str,
    name: str,
    *,
    system: System = "metric",
    convert: Convert = convert,
    heading: str = "",
    numbers_in: str = "",
) -> Markup:
    """A `<figure>` with the picture, a one-sentence finding and the data; empty when nothing is known.

    `heading` stands before the finding, such as a bike's name where the page is not the bike's own. `numbers_in`
    is the id of a table on the same page that holds the numbers drawn; without one the chart brings its own.
    """
    chart = plate(name)
    rows = chart.rows(table, slug, system)
    if not rows:
        return Markup("")
    finding, note = chart.finding(rows, system), chart.note(rows, system)
    key = f"chart-{slug}-{name}".replace(".", "-").lower()
    title = f"{heading}: {chart.title}" if heading else chart.title
    picture = named(drawn(chart.layout(rows, system), convert), key, title)
    other: System = "metric" if system == "us" else "us"
    if numbers_in:
        numbers = (
            f'<p class="chart__data"><a href="#{escape(numbers_in)}">The numbers drawn</a></p>'
        )
    else:
        head, body = in_both(
            chart.grid(rows, system), chart.grid(chart.rows(table, slug, other), other), system
        )
        drawn_in = data_table(title, head, body)
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


def named(svg: str, key: str, title: str) -> str:
    """The SVG with its name for readers who do not see it; its description is the caption's finding."""
    size = re.match(r'<svg[^>]*? width="([\d.]+)" height="([\d.]+)"', svg)
    width, height = (size[1], size[2]) if size else (str(theme.WIDTH), "250")
    start = (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{escape(key)}-name" '
        f'aria-describedby="{escape(key)}-about" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}"><title id="{escape(key)}-name">{escape(title)}</title>'
    )
    return re.sub(r"^<svg[^>]*>", lambda _: start, svg, count=1)


Grid = tuple[list[str], list[list[str]]]


def in_both(first: Grid, other: Grid, system: System) -> tuple[list[Markup], list[list[Markup]]]:
    """A table in both unit systems; what differs stands twice, the second in brackets, as `pages.numbers` prints."""
    leading, following = ("us", "metric") if system == "us" else ("metric", "us")

    def cell(one: str, two: str) -> Markup:
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
        [cell(*both) for both in zip(first[0], other[0], strict=True)],
        [[cell(*both) for both in zip(*lines, strict=True)] for lines in pairs],
    )


def data_table(title: str, head: Sequence[str], body: Sequence[Sequence[str]]) -> Markup:
    """Drawn numbers as a table; the first cell of each line is its head."""
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
