"""Bar charts: groups of bars one under the other, each with its interval and its words.

* BarChart         a bar chart laid out
* draw_bar_chart   the chart as SVG
"""

from collections.abc import Sequence
from typing import NamedTuple

from markupsafe import Markup

from generator.charts.drawing import axes, theme
from generator.charts.drawing.svg_elements import draw_in_ink, draw_words, make_scale
from generator.charts.rows import ChartRow

STEP = 19
"""Distance from one bar to the next. [px]"""
BAR = 15
"""Height of a bar. [px]"""
BETWEEN = 5
"""Space between two groups. [px]"""
LEFT, RIGHT = 9, theme.WIDTH - 2


class BarChart(NamedTuple):
    """A bar chart laid out but not drawn."""

    title: str
    """Title of the quantity drawn."""
    groups: Sequence[str]
    """Names of the groups, each above its bars."""
    bars: Sequence[ChartRow]
    """Rows {place, slot, to, from_, until, words}: `place` numbers the group and `slot` the bar in it, from 0; `to` is the
    bar's end, `from_` and `until` are its interval."""
    wide: float
    """Value at the right edge; the left edge is 0."""
    ticks: Sequence[float]


def draw_bar_chart(chart: BarChart) -> str:
    """The chart as SVG, 328 px wide."""
    slots = 1 + max(row["slot"] for row in chart.bars)
    tall = (slots + 1) * STEP + BETWEEN
    across = make_scale(0.0, chart.wide, LEFT, RIGHT)
    floor = 4 + tall * len(chart.groups)

    def bar_top(row: ChartRow) -> int:
        """Upper edge of a bar. [px]"""
        return 4 + tall * int(row["place"]) + STEP * (1 + int(row["slot"])) + 1

    ticks = list(zip(map(across, chart.ticks), axes.format_ticks(chart.ticks), strict=True))
    shapes = axes.draw_lower_axis(LEFT, RIGHT, floor, ticks, chart.title)
    for slot in range(slots):
        strokes = "".join(
            f"M{LEFT} {bar_top(row)}h{round(across(row['to']) - LEFT)}v{BAR}H{LEFT}z"
            for row in chart.bars
            if row["slot"] == slot
        )
        colour = theme.SERIES[slot % len(theme.SERIES)]
        shapes.append(Markup(f'<path fill="{colour}" d="{strokes}"/>'))
    intervals = "".join(
        f"M{round(across(row['from_']))} {bar_top(row) + BAR / 2:g}h{round(across(row['until'])) - round(across(row['from_']))}"
        for row in chart.bars
    )
    shapes.append(Markup(f'<path stroke="{theme.INK}" stroke-width="1.5" d="{intervals}"/>'))
    said = [
        draw_words(across(row["until"]) + 6, bar_top(row) + BAR - 3, row["words"])
        for row in chart.bars
    ]
    heads = [
        draw_words(LEFT, 4 + tall * place + 14, name) for place, name in enumerate(chart.groups)
    ]
    bold = Markup(f'<g font-weight="bold" fill="{theme.INK}">{"".join(heads)}</g>')
    return axes.wrap_svg(floor + axes.FOOT, [*shapes, draw_in_ink(said), bold])
