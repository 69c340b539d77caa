"""Bars in groups, one under the other, each with its interval and its words; laid out and drawn in our own strokes.

* BarChart      what stands where
* bar_picture   as SVG
"""

from collections.abc import Sequence
from typing import NamedTuple

from markupsafe import Markup

from generator.charts.drawing import axes, theme
from generator.charts.drawing.svg_elements import group, scale, words
from generator.charts.rows import Row

STEP = 19
"""From one bar to the next. [px]"""
BAR = 15
"""Height of a bar. [px]"""
BETWEEN = 5
"""Between two groups. [px]"""
LEFT, RIGHT = 9, theme.WIDTH - 2


class BarChart(NamedTuple):
    title: str
    """Of the quantity drawn."""
    groups: Sequence[str]
    """Names, each over its bars."""
    bars: Sequence[Row]
    """{place, slot, to, from_, until, words}: `place` is the group and `slot` the bar in it, both counted from 0; `to` is
    the bar's end, `from_` and `until` are its interval."""
    wide: float
    """Value at the right edge; that at the left is 0."""
    ticks: Sequence[float]


def bar_picture(chart: BarChart) -> str:
    """The chart as SVG, 328 px wide."""
    slots = 1 + max(row["slot"] for row in chart.bars)
    tall = (slots + 1) * STEP + BETWEEN
    across = scale(0.0, chart.wide, LEFT, RIGHT)
    floor = 4 + tall * len(chart.groups)

    def top(row: Row) -> int:
        """Of a bar."""
        return 4 + tall * int(row["place"]) + STEP * (1 + int(row["slot"])) + 1

    ticks = list(zip(map(across, chart.ticks), axes.words_of(chart.ticks), strict=True))
    shapes = axes.below(LEFT, RIGHT, floor, ticks, chart.title)
    for slot in range(slots):
        strokes = "".join(
            f"M{LEFT} {top(row)}h{round(across(row['to']) - LEFT)}v{BAR}H{LEFT}z"
            for row in chart.bars
            if row["slot"] == slot
        )
        colour = theme.SERIES[slot % len(theme.SERIES)]
        shapes.append(Markup(f'<path fill="{colour}" d="{strokes}"/>'))
    intervals = "".join(
        f"M{round(across(row['from_']))} {top(row) + BAR / 2:g}h{round(across(row['until'])) - round(across(row['from_']))}"
        for row in chart.bars
    )
    shapes.append(Markup(f'<path stroke="{theme.INK}" stroke-width="1.5" d="{intervals}"/>'))
    said = [words(across(row["until"]) + 6, top(row) + BAR - 3, row["words"]) for row in chart.bars]
    heads = [words(LEFT, 4 + tall * place + 14, name) for place, name in enumerate(chart.groups)]
    bold = Markup(f'<g font-weight="bold" fill="{theme.INK}">{"".join(heads)}</g>')
    return axes.picture(floor + axes.FOOT, [*shapes, group(said), bold])
