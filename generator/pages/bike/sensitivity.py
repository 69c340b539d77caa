"""The sensitivity of a bike's headline figures: each setting at a low and a high value, as rows and bars."""

import math
from dataclasses import dataclass, replace

from markupsafe import Markup

from generator.figures.model import Figure
from generator.figures.uncertainty.what_if import Effect
from generator.pages.frame import numbers
from generator.pages.frame.headlines import select_headlines
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

GROUPS_WITH_BARS = ("range", "hills")
"""Groups whose rows have bars."""
WIDTH, EDGE = 120, 6
"""Width of a bar's picture, and margin at either end. [px]"""


@dataclass(frozen=True)
class Bar:
    """Positions along the picture. [px]"""

    little: int
    much: int
    mark: int
    """Position of the published figure."""


@dataclass(frozen=True)
class SettingRow:
    """A setting that moves the figure."""

    title: str
    little: str
    """Low value of the setting."""
    at_little: Markup
    """The figure at the low value."""
    much: str
    """High value of the setting."""
    at_much: Markup
    """The figure at the high value."""
    bar: Bar | None


@dataclass(frozen=True)
class FigureSensitivity:
    """A figure and the settings that move it, the strongest first."""

    title: str
    stands: Markup
    """The published figure."""
    rows: list[SettingRow]


def list_sensitivities(renderer: Renderer, bike: Bike) -> list[FigureSensitivity]:
    """Return the headline figures whose sensitivity was computed, in the order of the headlines."""
    effects_by_figure = renderer.table.effects_of(bike.slug)
    known = renderer.table.figures_of(bike.slug)
    kinds = select_headlines(figure.kind for figure in known.values())
    found = [
        _build_sensitivity(renderer, known[kind.id], effects_by_figure[kind.id])
        for kind in kinds
        if kind.id in effects_by_figure
    ]
    return [one for one in found if one.rows]


def _build_sensitivity(
    renderer: Renderer, figure: Figure, effects: list[Effect]
) -> FigureSensitivity:
    stands = figure.value
    ends = {
        id(one): (one.at_little, one.at_much)
        for one in effects
        if math.isfinite(one.at_little) and math.isfinite(one.at_much)
    }
    values = [stands, *(value for pair in ends.values() for value in pair)]
    lowest, highest = min(values), max(values)
    rows = [
        SettingRow(
            one.title,
            one.little,
            _value_html(renderer, figure, one.at_little),
            one.much,
            _value_html(renderer, figure, one.at_much),
            Bar(*(_find_position(value, lowest, highest) for value in (*ends[id(one)], stands)))
            if figure.kind.group in GROUPS_WITH_BARS
            else None,
        )
        for one in effects
        if id(one) in ends
    ]
    return FigureSensitivity(figure.kind.title, _value_html(renderer, figure, stands), rows)


def _value_html(renderer: Renderer, figure: Figure, value: float) -> Markup:
    """Return another value of the figure's kind as HTML."""
    return numbers.value_html(replace(figure, value=value), first=renderer.system)


def _find_position(value: float, lowest: float, highest: float) -> int:
    span = highest - lowest
    return round(EDGE + (WIDTH - 2 * EDGE) * ((value - lowest) / span if span else 0.5))
