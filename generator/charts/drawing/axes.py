"""Axes of the charts that we draw ourselves, and the SVG around them.

* round_steps        round values for an axis from zero
* format_ticks       the values as printed on an axis
* measure_ticks      width needed by the words at the left
* draw_lower_axis    the lower axis with its title
* draw_level_lines   horizontal lines with their values at the left
* wrap_svg           the whole SVG
"""

import math
from collections.abc import Sequence

from markupsafe import Markup

from generator.charts.drawing import theme
from generator.charts.drawing.svg_elements import draw_in_ink, draw_words

TICK = 4
"""Length of the strokes at the axis. [px]"""
LETTER = 7.5
"""Width of a digit at the size of charts. [px]"""
FOOT = 43
"""Room for the lower axis under the plot area. [px]"""


def round_steps(top: float, count: int = 5) -> list[float]:
    """About `count` values from zero to `top`, 1, 2 or 5 times a power of ten apart.

    The step is the one nearest to `top / count` on a logarithmic scale, as on Vega's axes.
    """
    rough = top / count
    power = 10.0 ** math.floor(math.log10(rough))
    part = rough / power
    step = power * (10 if part >= 50**0.5 else 5 if part >= 10**0.5 else 2 if part >= 2**0.5 else 1)
    return [round(step * index, 10) for index in range(int(top / step + 1e-9) + 1)]


def format_ticks(values: Sequence[float]) -> list[str]:
    """The values with as many decimals as the longest needs, and thousands separated."""
    decimals = max((_count_decimals(value) for value in values), default=0)
    return [f"{value:,.{decimals}f}" for value in values]


def _count_decimals(value: float) -> int:
    return len(f"{value:.4f}".rstrip("0").partition(".")[2])


def measure_ticks(values: Sequence[str]) -> int:
    """Width left of the plot area for the words of `draw_level_lines`. [px]"""
    return round(12 + LETTER * max(map(len, values), default=0))


def draw_lower_axis(
    left: float, right: float, floor: float, ticks: Sequence[tuple[float, str]], title: str
) -> list[Markup]:
    """The axis under the plot area. Ticks are places [px] and words.

    A word at the left edge begins there, clear of the other axis's words.
    """
    strokes = "".join(f"M{round(at)}.5 {round(floor)}v{TICK}" for at, _ in ticks)
    first = [draw_words(at, floor + 19, word) for at, word in ticks if at - left < 1]
    rest = [draw_words(at, floor + 19, word) for at, word in ticks if at - left >= 1]
    return [
        Markup(
            f'<path stroke="{theme.MUTED}" d="{strokes}M{round(left)} {round(floor)}.5h{round(right - left)}"/>'
        ),
        draw_in_ink([*first, draw_words(left, floor + 39, title)]),
        _align_words("middle", rest),
    ]


def draw_level_lines(left: float, right: float, marks: Sequence[tuple[float, str]]) -> list[Markup]:
    """Horizontal lines across the plot area; marks are heights [px] and words."""
    strokes = "".join(f"M{round(left)} {round(at)}.5h{round(right - left)}" for at, _ in marks)
    return [
        Markup(f'<path stroke="{theme.RULE}" d="{strokes}"/>'),
        _align_words("end", [draw_words(left - 4, at + 4, word) for at, word in marks]),
    ]


def _align_words(anchor: str, shapes: Sequence[Markup]) -> Markup:
    """Words in the colour of ink with one text anchor."""
    return Markup(f'<g text-anchor="{anchor}" fill="{theme.INK}">{"".join(shapes)}</g>')


def wrap_svg(height: float, shapes: Sequence[Markup]) -> str:
    """The shapes as one SVG of the theme's width."""
    width, tall = theme.WIDTH, round(height)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{tall}" viewBox="0 0 {width} {tall}">'
        f'<g fill="none">{"".join(shapes)}</g></svg>'
    )
