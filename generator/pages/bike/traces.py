"""Where each number of a bike comes from: what folds out below it.

Every input stands once, numbered, on a page beside the bike's (`bikes/<slug>/inputs/`); a derivation names the inputs
that matter to it.
"""

from collections.abc import Collection
from typing import NamedTuple

from generator.figures import show
from generator.figures.model import Figure, Input, Weighed
from generator.pages.frame import numbers, urls
from generator.pages.frame.renderer import Renderer

LEAST_SHARE = 0.05
"""An input that explains less than this of the interval is not named in the working."""


class Used(NamedTuple):
    """An input in one derivation."""

    number: int
    title: str
    text: str
    basis: str
    share: str
    """Of the interval; empty when the figure has none."""


class Derivation(NamedTuple):
    anchor: str
    figure: Figure
    steps: tuple[str, ...]
    used: list[Used]
    unridden: str
    """What it would be without our own rides; empty when they changed nothing."""
    method: str
    """Link to the kind of figure on the method page, which names the source."""
    holds: str
    """The conditions that the page does not name for all of its figures at the top."""


class Inputs:
    """The inputs of a bike, numbered in the order in which its figures first use them."""

    def __init__(self) -> None:
        self._numbers: dict[tuple[str, str, str, str], int] = {}
        self._known: dict[int, tuple[Input, int]] = {}
        """By the input's identity, which nothing else has while the input is kept beside it."""

    def number(self, one: Input) -> int:
        known = self._known.get(id(one))
        if known is None:
            key = (one.title, one.text, one.basis, one.source)
            known = one, self._numbers.setdefault(key, len(self._numbers) + 1)
            self._known[id(one)] = known
        return known[1]

    def rows(self) -> list[tuple[int, str, str, str, str]]:
        """Number, title, value, basis and source."""
        return [(number, *key) for key, number in self._numbers.items()]


def usual(renderer: Renderer, slug: str) -> tuple[str, ...]:
    """For whom and at which level a bike's figures hold unless they say otherwise; empty when there is no range."""
    known = renderer.table.of(slug)
    first = next((known[id] for id in known if id.startswith("range.")), None)
    return tuple(first.conditions.split("; ")[1:]) if first else ()


def derivation(
    renderer: Renderer, figure: Figure, inputs: Inputs, path: str, usual: Collection[str]
) -> Derivation:
    """The working of a figure, for the page at `path`, which says at its top what its figures hold for."""
    working = renderer.table.working(figure)
    numbered = [(inputs.number(one.given), one) for one in working.inputs]
    told = [each for each in numbered if each[1].share >= LEAST_SHARE] or numbered
    return Derivation(
        numbers.anchor(figure.id),
        figure,
        working.steps,
        [_used(one, number) for number, one in told],
        _unridden(figure, renderer.system),
        urls.link(path, numbers.explained_at(figure.id)),
        "; ".join(part for part in figure.conditions.split("; ") if part not in usual),
    )


def _unridden(figure: Figure, system: show.System) -> str:
    before = figure.unridden
    if before is None:
        return ""
    likely = show.join(show.interval(before, system), show.unit(figure.kind, system))
    return f"{show.text(before, system)}, likely {likely}"


def _used(one: Weighed, number: int) -> Used:
    share = f"{one.share * 100:.0f} %" if one.share >= LEAST_SHARE else ""
    return Used(number, one.given.title, one.given.text, one.given.basis, share)
