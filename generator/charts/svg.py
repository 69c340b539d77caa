"""From a chart's name to a `<figure>`: specification, picture, words and data table.

* spec         the Vega-Lite specification, plain data that can be hashed and sent to a worker
* convert      a specification as lean, inline-ready SVG
* figure_for   the whole `<figure>` as safe HTML

Conversion is the slow part (about 20 ms), so a caller may hand in a `convert` of its own, such as a cached one.
"""

import re
from collections.abc import Callable
from importlib import import_module
from itertools import pairwise
from typing import Any

from markupsafe import Markup, escape

from generator.charts import theme
from generator.charts.plate import Plate, System
from generator.figures.table import FiguresTable

CHARTS = {
    "hills.speed_by_grade": "speed_by_grade",
    "range.by_level": "range_by_level",
    "assist.motor_by_rider": "motor_by_rider",
    "gears.cadence_by_speed": "cadence_by_speed",
    "price.range": "price_against_range",
}
"""Name of each chart to its module. The slug of `price.range` is a currency's code."""

NAMES = tuple(CHARTS)

Convert = Callable[[dict[str, Any]], str]


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
    found: Plate = import_module(f"generator.charts.{CHARTS[name]}").PLATE
    return found


def spec(
    table: FiguresTable, slug: str, name: str, system: System = "metric"
) -> dict[str, Any] | None:
    """Vega-Lite of one chart; None when there are no rows to draw."""
    chart = plate(name)
    rows = chart.rows(table, slug, system)
    return chart.spec(rows, system) if rows else None


def convert(spec: dict[str, Any]) -> str:
    """The specification as SVG without a header, sized by its `viewBox` alone, coordinates rounded."""
    import vl_convert

    return lean(vl_convert.vegalite_to_svg(spec, allowed_base_urls=[]))


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
    picture = _named(convert(chart.spec(rows, system)), key, title, f"{finding} {note}")
    head, body = chart.grid(rows, system)
    numbers = Markup(
        '<details class="chart__data"><summary>The numbers drawn</summary>{}</details>'
    ).format(_table(title, key, head, body))
    if numbers_in:
        numbers = Markup('<p class="chart__data"><a href="#{}">The numbers drawn</a></p>').format(
            numbers_in
        )
    return Markup(
        '<figure class="chart" id="{key}"><div class="chart__plate">{picture}</div>'
        '<figcaption><div class="chart__words"><strong>{title}</strong> '
        '<span class="chart__finding">{finding}</span> <span class="chart__note">{note}</span></div>'
        "{numbers}</figcaption></figure>"
    ).format(
        key=key,
        picture=Markup(picture),
        title=title,
        finding=finding,
        note=note,
        numbers=numbers,
    )


def lean(svg: str) -> str:
    """Drops what an inline picture does not need and rounds coordinates: drawn lines to 1 px, the rest to 0.1 px."""
    svg = re.sub(r'<path class="(?:foreground|background)"[^>]*/>', "", svg)
    svg = re.sub(r'<rect width="[^"]*" height="[^"]*" fill="(?:white|transparent)"/>', "", svg)
    for noise in (
        r' (?:class|role|aria-[a-z]+|pointer-events|xmlns:xlink|version|font-family)="[^"]*"',
        r' (?:opacity="1"|stroke-width="1"|x2="0"|y2="0"|stroke-miterlimit="10")',
        r' transform="translate\(0,0\)"',
        r' (?:text-anchor="start"|font-weight="normal"|stroke-dasharray="1,0")',
    ):
        svg = re.sub(noise, "", svg)
    svg = re.sub(r"-?\d+\.\d+", _tenth, svg)
    svg = re.sub(r'(?<= d=")[^"]+(?=")', _whole, svg)
    svg = re.sub(r'(?<= d=")M[-\d.,LZ]+L[-\d.,LZ]+(?=")', _steps, svg)
    svg = re.sub(
        r'(<text[^>]*) transform="translate\(([-\d.]+),([-\d.]+)\)"', r'\1 x="\2" y="\3"', svg
    )
    while (shorter := re.sub(r"<g>((?:(?!</?g\b).)*)</g>", r"\1", svg, flags=re.DOTALL)) != svg:
        svg = shorter
    return svg.replace(f' font-size="{theme.TEXT}px"', "")


def _steps(match: re.Match[str]) -> str:
    """A line of points as steps from one to the next, which are shorter and alike; Z stays where it is."""
    lines = []
    for line in match[0].removesuffix("Z").split("M")[1:]:
        points = [[int(part) for part in point.split(",")] for point in line.split("L")]
        if any(len(point) != 2 for point in points):
            return match[0]
        moves = [
            f"{after[0] - before[0]},{after[1] - before[1]}" for before, after in pairwise(points)
        ]
        start = ",".join(map(str, points[0]))
        lines.append(f"M{start}l{' '.join(moves)}" if moves else f"M{start}")
    return "".join(lines) + ("Z" if match[0].endswith("Z") else "")


def _whole(match: re.Match[str]) -> str:
    return re.sub(r"-?\d+\.\d+", lambda one: str(round(float(one[0]))), match[0])


def _tenth(match: re.Match[str]) -> str:
    text = f"{float(match[0]):.1f}"
    return text.removesuffix(".0").replace("-0", "0") if text == "-0.0" else text.removesuffix(".0")


def _named(svg: str, key: str, title: str, description: str) -> str:
    """The SVG with its name and description for readers who do not see it."""
    size = re.match(r'<svg[^>]*? width="([\d.]+)" height="([\d.]+)"', svg)
    width, height = (size[1], size[2]) if size else (str(theme.WIDTH), "250")
    start = Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{key}-name" '
        'aria-describedby="{key}-about" width="{width}" height="{height}" '
        'viewBox="0 0 {width} {height}"><title id="{key}-name">{title}</title>'
        '<desc id="{key}-about">{description}</desc>'
    ).format(key=key, width=width, height=height, title=title, description=description)
    return re.sub(r"^<svg[^>]*>", lambda _: str(start), svg, count=1)


def _table(title: str, key: str, head: list[str], body: list[list[str]]) -> Markup:
    columns = Markup("").join(Markup('<th scope="col">{}</th>').format(cell) for cell in head)
    lines = Markup("").join(
        Markup('<tr><th scope="row">{}</th>{}</tr>').format(
            line[0], Markup("").join(Markup("<td>{}</td>").format(cell) for cell in line[1:])
        )
        for line in body
    )
    return Markup(
        '<div class="table-scroll" role="region" tabindex="0" aria-label="{label}">'
        '<table class="data"><caption>{caption}</caption><thead><tr>{head}</tr></thead>'
        "<tbody>{body}</tbody></table></div>"
    ).format(label=f"Table: {title}", caption=escape(title), head=columns, body=lines)
