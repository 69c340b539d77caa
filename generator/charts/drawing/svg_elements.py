"""SVG elements for charts and diagrams: lines, areas and words, in few bytes.

Colours come from the theme and are mapped to tokens by `templates/styles/charts.css`. Coordinates are whole pixels of a
drawing 328 px wide. Things that a reader must tell apart differ in dash or words as well as in colour.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from markupsafe import Markup, escape

from generator.charts.drawing import theme

Point = tuple[float, float]
Scale = Callable[[float], float]

LEFT, RIGHT = 44, theme.WIDTH - 6
"""Edges of the plot area. [px]"""
LINE = 17
"""Height of a line of words. [px]"""
DASH = "7 3"


@dataclass(frozen=True)
class Diagram:
    """A drawn diagram with its words and its data table."""

    title: str
    height: int
    shapes: Sequence[Markup]
    finding: str
    """One sentence that follows from the rows."""
    note: str
    """How to read the diagram."""
    head: Sequence[str]
    body: Sequence[Sequence[str]]
    width: int = theme.WIDTH


def make_scale(low: float, high: float, start: float, end: float) -> Scale:
    """A linear scale from values `low` to `high` to pixels `start` to `end`, which may run backwards."""
    return lambda value: start + (value - low) / (high - low) * (end - start)


def round_up_top(highest: float) -> float:
    """A round number at or just over the highest value, for the end of an axis."""
    step = 10.0
    while step * 10 <= highest:
        step *= 10
    return next(
        step * part for part in (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10) if step * part >= highest
    )


def draw_words(x: float, y: float, text: str, anchor: str = "") -> Markup:
    """Words with their baseline at y; `anchor` is empty, middle or end."""
    place = f' text-anchor="{anchor}"' if anchor else ""
    return Markup(f'<text x="{round(x)}" y="{round(y)}"{place}>{escape(text)}</text>')


def draw_in_ink(shapes: Sequence[Markup]) -> Markup:
    """Words grouped in the colour of ink."""
    return Markup(f'<g fill="{theme.INK}">{"".join(shapes)}</g>')


def draw_line(points: Sequence[Point], colour: str, *, width: float = 2, dash: str = "") -> Markup:
    extra = f' stroke-dasharray="{dash}"' if dash else ""
    return Markup(
        f'<path fill="none" stroke="{colour}" stroke-width="{width:g}"{extra} d="{path_data(points)}"/>'
    )


def draw_area(points: Sequence[Point], floor: float, colour: str) -> Markup:
    """The area between a curve and the floor, lightly filled."""
    closed = [(points[0][0], floor), *points, (points[-1][0], floor)]
    return Markup(f'<path fill="{colour}" fill-opacity=".25" d="{path_data(closed)}z"/>')


def draw_rule(one: Point, other: Point, colour: str = theme.RULE, dash: str = "") -> Markup:
    """A thin line."""
    return draw_line([one, other], colour, width=1, dash=dash)


def path_data(points: Sequence[Point]) -> str:
    """Path data in whole pixels, as relative steps; points on a straight line between others are left out."""
    spots = [(round(x), round(y)) for x, y in points]
    kept = spots[:1]
    for place, spot in enumerate(spots[1:], 1):
        if place < len(spots) - 1 and _is_straight(kept[-1], spot, spots[place + 1]):
            continue
        kept.append(spot)
    moves = [f"{after[0] - before[0]} {after[1] - before[1]}" for before, after in pairwise(kept)]
    return f"M{kept[0][0]} {kept[0][1]}l" + " ".join(moves)


def _is_straight(one: tuple[int, int], middle: tuple[int, int], other: tuple[int, int]) -> bool:
    across = (middle[0] - one[0]) * (other[1] - one[1]) - (middle[1] - one[1]) * (other[0] - one[0])
    return across == 0


def draw_panel(
    top: float, floor: float, highest: float, unit: str, right: float = RIGHT
) -> list[Markup]:
    """Floor and ceiling of a panel, and the numbers at its left."""
    return [
        draw_rule((LEFT, top), (right, top)),
        draw_rule((LEFT, floor), (right, floor), theme.MUTED),
        draw_in_ink(
            [
                draw_words(LEFT - 5, top + 9, f"{highest:g}", "end"),
                draw_words(LEFT - 5, floor, f"0 {unit}", "end"),
            ]
        ),
    ]


def format_number(value: float, decimals: int = 0) -> str:
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0 else text
