"""Drawing of a line chart as SVG by our own code, which takes milliseconds less than a library.

Colours, dashes and shapes come from `theme`, the layout from `lines` and `labels`.
"""

from collections.abc import Sequence

from markupsafe import Markup

from generator.charts.drawing import axes, theme
from generator.charts.drawing.labels import HEIGHT
from generator.charts.drawing.lines import LineChart
from generator.charts.drawing.svg_elements import (
    Point,
    Scale,
    draw_in_ink,
    draw_line,
    draw_rule,
    draw_words,
    make_scale,
    path_data,
)
from generator.charts.rows import ChartRow

TOP = 25
"""Height of the title and the space under it, above the plot area. [px]"""
RIGHT = theme.WIDTH - 2
BAND = "0.16"
"""Opacity of an interval."""
OUTLINES = {
    "circle": "m-4 0a4 4 0 1 0 8 0a4 4 0 1 0-8 0",
    "square": "m-4-4h8v8h-8z",
    "triangle-up": "m0-4l4 7h-8z",
    "diamond": "m0-5l5 5-5 5-5-5z",
    "cross": "m-2-5h4v3h3v4h-3v3h-4v-3h-3v-4h3z",
}
"""Outline of each shape about its middle, as steps of a path, all about equally large to the eye. [px]"""


def draw_line_chart(chart: LineChart) -> str:
    """The chart as SVG, 328 px wide."""
    kind, plot_area, datasets = chart.kind, chart.plot_area, chart.datasets
    heights = axes.round_steps(plot_area.top)
    names = axes.format_ticks(heights)
    left, floor = axes.measure_ticks(names), TOP + HEIGHT
    across = make_scale(plot_area.left, plot_area.edge or 1.0, left, RIGHT)
    up = make_scale(0.0, plot_area.top, floor, TOP)
    ground = axes.draw_level_lines(left, RIGHT, list(zip(map(up, heights), names, strict=True)))
    ticks = [(across(value), word) for value, word in chart.ticks]
    shapes = [*ground, *axes.draw_lower_axis(left, RIGHT, floor, ticks, kind.x_title)]

    def to_points(rows: Sequence[ChartRow], y: str) -> list[Point]:
        return [(across(row[kind.x]), up(row[y])) for row in rows]

    if band := datasets["band"]:
        around = [*to_points(band, "high"), *reversed(to_points(band, "low"))]
        shapes.append(
            Markup(
                f'<path fill="{theme.SERIES[band[0]["place"]]}" fill-opacity="{BAND}" d="{path_data(around)}z"/>'
            )
        )
    for place in dict.fromkeys(row["place"] for row in datasets["rows"]):
        own = [row for row in datasets["rows"] if row["place"] == place]
        shapes.append(_draw_series(to_points(own, kind.y), place))
    shapes += [
        draw_mark(across(row[kind.x]), up(row[kind.y]), row["place"]) for row in datasets["ends"]
    ]
    shapes += [
        draw_mark(across(row["mark"]), up(row["label"]), row["place"]) for row in datasets["keys"]
    ]
    shapes += [
        _draw_marked_value(chart, row, left, across(row[kind.x]), up) for row in datasets["mark"]
    ]
    named = [
        draw_words(across(row["words"]), up(row["label"]) + 4, str(row["series"]), anchor)
        for dataset, anchor in (("names", ""), ("within", "middle"))
        for row in datasets[dataset]
    ]
    title = draw_words(8, 13, kind.y_title)
    return axes.wrap_svg(floor + axes.FOOT, [*shapes, draw_in_ink([title, *named])])


def _draw_series(points: Sequence[Point], place: int) -> Markup:
    dash = " ".join(map(str, theme.DASHES[place])) if place else ""
    return draw_line(points, theme.SERIES[place], dash=dash)


def draw_mark(x: float, y: float, place: int) -> Markup:
    """The mark of series number `place` about a point."""
    outline = OUTLINES[theme.SHAPES[place]]
    return Markup(f'<path fill="{theme.SERIES[place]}" d="M{round(x)} {round(y)}{outline}"/>')


def _draw_marked_value(chart: LineChart, row: ChartRow, left: float, x: float, up: Scale) -> Markup:
    """A dashed rule at the marked value, with its words."""
    y = up(row[chart.kind.y])
    if chart.kind.mark == "x":
        dashed = draw_rule((x, TOP), (x, up(0.0)), theme.MUTED, "4 3")
        return dashed + draw_in_ink([draw_words(x - 4, y - 6, row["words"], "end")])
    dashed = draw_rule((left, y), (RIGHT, y), theme.MUTED, "4 3")
    return dashed + draw_in_ink([draw_words(x + 4, y - 6, row["words"])])
