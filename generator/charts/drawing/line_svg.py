"""A line chart in our own strokes: some milliseconds less than a drawing library takes, for charts that every bike has.

Colours, dashes and shapes are those of the theme; what stands where was decided by `lines` and `labels`.
"""

from collections.abc import Sequence

from markupsafe import Markup

from generator.charts.drawing import axes, theme
from generator.charts.drawing.labels import HEIGHT
from generator.charts.drawing.lines import LineChart
from generator.charts.drawing.svg_elements import (
    Point,
    Scale,
    group,
    line,
    path,
    rule,
    scale,
    words,
)
from generator.charts.rows import Row

TOP = 25
"""Foot of the title and clear space, over the ground. [px]"""
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
"""Of each shape about its middle, as steps of a path; about as large as each other to the eye. [px]"""


def line_picture(chart: LineChart) -> str:
    """The chart as SVG, 328 px wide."""
    kind, paper, drawn = chart.kind, chart.paper, chart.drawn
    heights = axes.round_steps(paper.top)
    names = axes.words_of(heights)
    left, floor = axes.room(names), TOP + HEIGHT
    across = scale(paper.left, paper.edge or 1.0, left, RIGHT)
    up = scale(0.0, paper.top, floor, TOP)
    ground = axes.beside(left, RIGHT, list(zip(map(up, heights), names, strict=True)))
    ticks = [(across(value), word) for value, word in chart.ticks]
    shapes = [*ground, *axes.below(left, RIGHT, floor, ticks, kind.x_title)]

    def points(rows: Sequence[Row], y: str) -> list[Point]:
        return [(across(row[kind.x]), up(row[y])) for row in rows]

    if band := drawn["band"]:
        around = [*points(band, "high"), *reversed(points(band, "low"))]
        shapes.append(
            Markup(
                f'<path fill="{theme.SERIES[band[0]["place"]]}" fill-opacity="{BAND}" d="{path(around)}z"/>'
            )
        )
    for place in dict.fromkeys(row["place"] for row in drawn["rows"]):
        own = [row for row in drawn["rows"] if row["place"] == place]
        shapes.append(_line(points(own, kind.y), place))
    shapes += [mark(across(row[kind.x]), up(row[kind.y]), row["place"]) for row in drawn["ends"]]
    shapes += [mark(across(row["mark"]), up(row["label"]), row["place"]) for row in drawn["keys"]]
    shapes += [_marked(chart, row, left, across(row[kind.x]), up) for row in drawn["mark"]]
    named = [
        words(across(row["words"]), up(row["label"]) + 4, str(row["series"]), anchor)
        for dataset, anchor in (("names", ""), ("within", "middle"))
        for row in drawn[dataset]
    ]
    title = words(8, 13, kind.y_title)
    return axes.picture(floor + axes.FOOT, [*shapes, group([title, *named])])


def _line(points: Sequence[Point], place: int) -> Markup:
    dash = " ".join(map(str, theme.DASHES[place])) if place else ""
    return line(points, theme.SERIES[place], dash=dash)


def mark(x: float, y: float, place: int) -> Markup:
    """The mark of a series about a point."""
    outline = OUTLINES[theme.SHAPES[place]]
    return Markup(f'<path fill="{theme.SERIES[place]}" d="M{round(x)} {round(y)}{outline}"/>')


def _marked(chart: LineChart, row: Row, left: float, x: float, up: Scale) -> Markup:
    """The value marked: a dashed rule and its words beside it."""
    y = up(row[chart.kind.y])
    if chart.kind.mark == "x":
        dashed = rule((x, TOP), (x, up(0.0)), theme.MUTED, "4 3")
        return dashed + group([words(x - 4, y - 6, row["words"], "end")])
    dashed = rule((left, y), (RIGHT, y), theme.MUTED, "4 3")
    return dashed + group([words(x + 4, y - 6, row["words"])])
