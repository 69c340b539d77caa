"""The derivation of each figure of a bike, which folds out below it.

All inputs are listed once, numbered, on a page of their own (`bikes/<slug>/inputs/`); a derivation names the inputs
that matter to it.
"""

from collections.abc import Collection
from typing import NamedTuple

from generator.figures import show
from generator.figures.model import Figure, UsedInput, WeighedInput
from generator.pages.frame import numbers, urls
from generator.pages.frame.renderer import Renderer

LEAST_SHARE = 0.05
"""Share of the interval below which an input is left out of the working. [-]"""


class Used(NamedTuple):
    """An input in one derivation."""

    number: int
    """Its number on the page of inputs."""
    title: str
    text: str
    basis: str
    share: str
    """Share of the interval, in percent; empty where it is small or the figure has no interval."""


class Derivation(NamedTuple):
    """How a figure was worked out."""

    anchor: str
    figure: Figure
    steps: tuple[str, ...]
    used: list[Used]
    unridden: str
    """The figure without the correction by our own rides; empty when they changed nothing."""
    method: str
    """Link to the kind of figure on the method page, which names the source."""
    holds: str
    """Conditions of the figure that the top of the page does not name for all figures."""


class NumberedInputs:
    """The inputs of a bike, numbered in the order in which its figures first use them."""

    def __init__(self) -> None:
        self._numbers: dict[tuple[str, str, str, str], int] = {}
        self._known: dict[int, tuple[UsedInput, int]] = {}
        """By the input's identity, which nothing else has while the input is kept beside it."""

    def find_number(self, one: UsedInput) -> int:
        known = self._known.get(id(one))
        if known is None:
            key = (one.title, one.text, one.basis, one.source)
            known = one, self._numbers.setdefault(key, len(self._numbers) + 1)
            self._known[id(one)] = known
        return known[1]

    def list_rows(self) -> list[tuple[int, str, str, str, str]]:
        """Return number, title, value, basis and source of each input."""
        return [(number, *key) for key, number in self._numbers.items()]


def find_usual_conditions(renderer: Renderer, slug: str) -> tuple[str, ...]:
    """For whom and at which level a bike's figures hold unless they say otherwise; empty when there is no range."""
    known = renderer.table.figures_of(slug)
    first = next((known[id] for id in known if id.startswith("range.")), None)
    return tuple(first.conditions.split("; ")[1:]) if first else ()


def build_derivation(
    renderer: Renderer, figure: Figure, inputs: NumberedInputs, path: str, usual: Collection[str]
) -> Derivation:
    """Return the derivation of a figure for the page at `path`; `usual` are the conditions named at the top of the page."""
    working = renderer.table.working(figure)
    numbered = [(inputs.find_number(one.given), one) for one in working.inputs]
    named = [each for each in numbered if each[1].share >= LEAST_SHARE] or numbered
    return Derivation(
        numbers.figure_anchor(figure.id),
        figure,
        working.steps,
        [_make_used_input(one, number) for number, one in named],
        _format_unridden(figure, renderer.system),
        urls.link(path, numbers.method_entry_path(figure.id)),
        "; ".join(part for part in figure.conditions.split("; ") if part not in usual),
    )


def _format_unridden(figure: Figure, system: show.UnitSystem) -> str:
    before = figure.unridden
    if before is None:
        return ""
    likely = show.join_unit(
        show.format_interval(before, system), show.get_unit_symbol(figure.kind, system)
    )
    return f"{show.format_figure(before, system)}, likely {likely}"


def _make_used_input(one: WeighedInput, number: int) -> Used:
    share = f"{one.share * 100:.0f} %" if one.share >= LEAST_SHARE else ""
    return Used(number, one.given.title, one.given.text, one.given.basis, share)
