"""What moves a bike's headline figures: each setting with a little and a lot of it, as rows and as bars."""

import math
from dataclasses import dataclass, replace

from markupsafe import Markup

from generator.figures.model import Figure
from generator.figures.uncertainty.what_if import Effect
from generator.pages.frame import numbers
from generator.pages.frame.headlines import headlines
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

DRAWN = ("range", "hills")
"""Groups whose rows have bars."""
WIDTH, EDGE = 120, 6
"""Of a bar's picture, and what is kept free at either end. [px]"""


@dataclass(frozen=True)
class Bar:
    """Places along the picture. [px]"""

    little: int
    much: int
    mark: int
    """Of the figure as it stands."""


@dataclass(frozen=True)
class Row:
    title: str
    little: str
    at_little: Markup
    much: str
    at_much: Markup
    bar: Bar | None


@dataclass(frozen=True)
class Moved:
    """One figure and what moves it, the strongest first."""

    title: str
    stands: Markup
    rows: list[Row]


def moves(renderer: Renderer, bike: Bike) -> list[Moved]:
    """The headline figures for which it was worked out, in the order of the headlines."""
    told = renderer.table.effects.get(bike.slug, {})
    known = renderer.table.of(bike.slug)
    kinds = headlines(figure.kind for figure in known.values())
    found = [_moved(renderer, known[kind.id], told[kind.id]) for kind in kinds if kind.id in told]
    return [one for one in found if one.rows]


def _moved(renderer: Renderer, figure: Figure, effects: list[Effect]) -> Moved:
    stands = figure.value
    ends = {
        id(one): (one.at_little, one.at_much)
        for one in effects
        if math.isfinite(one.at_little) and math.isfinite(one.at_much)
    }
    values = [stands, *(value for pair in ends.values() for value in pair)]
    lowest, highest = min(values), max(values)
    rows = [
        Row(
            one.title,
            one.little,
            _value(renderer, figure, one.at_little),
            one.much,
            _value(renderer, figure, one.at_much),
            Bar(*(_along(value, lowest, highest) for value in (*ends[id(one)], stands)))
            if figure.kind.group in DRAWN
            else None,
        )
        for one in effects
        if id(one) in ends
    ]
    return Moved(figure.kind.title, _value(renderer, figure, stands), rows)


def _value(renderer: Renderer, figure: Figure, value: float) -> Markup:
    """A value of the figure's kind that is not the figure itself."""
    return numbers.value_html(replace(figure, value=value), first=renderer.system)


def _along(value: float, lowest: float, highest: float) -> int:
    span = highest - lowest
    return round(EDGE + (WIDTH - 2 * EDGE) * ((value - lowest) / span if span else 0.5))
