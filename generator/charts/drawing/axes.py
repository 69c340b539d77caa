"""Axes of the charts that we draw ourselves: round values, their words, and the ground on which lines and bars stand.

* round_steps   values for an axis from zero
* words_of      as they stand on an axis
* below         the lower axis with its title
* beside        level lines with their values at the left
"""

import math
from collections.abc import Sequence

from markupsafe import Markup

from generator.charts.drawing import theme
from generator.charts.drawing.svg_elements import group, words

TICK = 4
"""Length of the strokes at the axis. [px]"""
LETTER = 7.5
"""Width of a digit at the size of charts. [px]"""
FOOT = 43
"""Room for the lower axis under the ground. [px]"""


def round_steps(top: float, count: int = 5) -> list[float]:
    """About so many values from zero to `top`, 1, 2 or 5 times a power of ten apart.

    The step is the one whose ratio to `top / count` is nearest on a logarithmic scale, as Vega's axes have it.
    """
    rough = top / count
    power = 10.0 ** math.floor(math.log10(rough))
    part = rough / power
    step = power * (10 if part >= 50**0.5 else 5 if part >= 10**0.5 else 2 if part >= 2**0.5 else 1)
    return [round(step * index, 10) for index in range(int(top / step + 1e-9) + 1)]


def words_of(values: Sequence[float]) -> list[str]:
    """With as many decimals as the values need to differ, and thousands apart."""
    decimals = max((_decimals(value) for value in values), default=0)
    return [f"{value:,.{decimals}f}" for value in values]


def _decimals(value: float) -> int:
    return len(f"{value:.4f}".rstrip("0").partition(".")[2])


def room(values: Sequence[str]) -> int:
    """Left of the ground, for the words of `beside`. [px]"""
    return round(12 + LETTER * max(map(len, values), default=0))


def below(
    left: float, right: float, floor: float, ticks: Sequence[tuple[float, str]], title: str
) -> list[Markup]:
    """The axis at the ground's foot. Ticks are places on the paper [px] and their words.

    A word at the very left begins there, so that it does not stand in the other axis's words.
    """
    strokes = "".join(f"M{round(at)}.5 {round(floor)}v{TICK}" for at, _ in ticks)
    first = [words(at, floor + 19, word) for at, word in ticks if at - left < 1]
    rest = [words(at, floor + 19, word) for at, word in ticks if at - left >= 1]
    return [
        Markup(
            f'<path stroke="{theme.MUTED}" d="{strokes}M{round(left)} {round(floor)}.5h{round(right - left)}"/>'
        ),
        group([*first, words(left, floor + 39, title)]),
        _aligned("middle", rest),
    ]


def beside(left: float, right: float, marks: Sequence[tuple[float, str]]) -> list[Markup]:
    """Level lines over the ground; marks are heights on the paper [px] and their words."""
    strokes = "".join(f"M{round(left)} {round(at)}.5h{round(right - left)}" for at, _ in marks)
    return [
        Markup(f'<path stroke="{theme.RULE}" d="{strokes}"/>'),
        _aligned("end", [words(left - 4, at + 4, word) for at, word in marks]),
    ]


def _aligned(anchor: str, shapes: Sequence[Markup]) -> Markup:
    """Words in ink, all with the same anchor."""
    return Markup(f'<g text-anchor="{anchor}" fill="{theme.INK}">{"".join(shapes)}</g>')


def picture(height: float, shapes: Sequence[Markup]) -> str:
    """The shapes as one SVG of the charts' width."""
    width, tall = theme.WIDTH, round(height)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{tall}" viewBox="0 0 {width} {tall}">'
        f'<g fill="none">{"".join(shapes)}</g></svg>'
    )
