"""The verdict on figures side by side: which bike is best, or that there is no clear difference.

Two figures differ clearly when their intervals do not overlap. templates/scripts/verdict.js has the same rule.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from generator.figures.model import Figure
from generator.specs.english import listed

COMPARATIVES = {
    "higher": ("better", "best"),
    "lower": ("better", "best"),
    "neither": ("higher", "highest"),
}
"""Comparative and superlative by `Kind.better`."""


@dataclass(frozen=True)
class Verdict:
    """How the figures of one kind compare."""

    words: str
    clear: bool
    """Whether at least two of the bikes differ clearly."""
    best: tuple[int, ...] = ()
    """Indices of the best bike and of those not clearly different from it; empty if none is better or all overlap."""


def compare_figures(figures: Sequence[Figure | None], names: Sequence[str]) -> Verdict:
    """Compare one kind of figure of two or more bikes, None if a bike has none; `names` in the same order."""
    known = [(place, each) for place, each in enumerate(figures) if each is not None]
    unknown = [name for name, each in zip(names, figures, strict=True) if each is None]
    lacking = f"not known: {listed(unknown)}"
    if len(known) < 2:
        return Verdict(lacking, False)
    unit = known[0][1].kind.unit
    if any(
        each.kind.unit is not unit and each.kind.unit != unit for _, each in known
    ):  # money alone has no one unit
        return Verdict("different currencies, not compared", False)
    verdict = _compare_known(known, names)
    return replace(verdict, words=f"{verdict.words}; {lacking}") if unknown else verdict


def _compare_known(known: Sequence[tuple[int, Figure]], names: Sequence[str]) -> Verdict:
    if _are_exactly_equal([each for _, each in known]):
        return Verdict("the same", False)
    above = max(known, key=lambda one: one[1].low)
    below = min(known, key=lambda one: one[1].high)
    if above[1].low <= below[1].high:
        return Verdict("no clear difference", False)
    better = known[0][1].kind.better
    more, most = COMPARATIVES[better]
    first = min if better == "lower" else max
    place, top = first(known, key=lambda one: one[1].value)
    level = [
        one
        for one in known
        if one[0] != place and one[1].low <= top.high and top.low <= one[1].high
    ]
    if len(level) == len(known) - 1:
        one, other = (below, above) if better == "lower" else (above, below)
        words = f"no clear {most}, though {names[one[0]]} is clearly {more} than {names[other[0]]}"
        return Verdict(words, True)
    best = tuple(sorted((place, *(one[0] for one in level)))) if better != "neither" else ()
    if not level:
        return Verdict(f"{more if len(known) == 2 else most}: {names[place]}", True, best)
    equal = _are_exactly_equal([top, *(one[1] for one in level)])
    beside = "the same as" if equal else "no clear difference from"
    rest = listed([names[one[0]] for one in level])
    return Verdict(f"{most}: {names[place]}, {beside} {rest}", True, best)


def _are_exactly_equal(figures: Sequence[Figure]) -> bool:
    """Whether all figures have one value without uncertainty; equal values with intervals may still differ."""
    return len({end for each in figures for end in (each.value, each.low, each.high)}) == 1


def format_mark(verdict: Verdict, place: int) -> str:
    """The mark beside the figure of a leading bike; empty for the others."""
    if place not in verdict.best:
        return ""
    return "best" if len(verdict.best) == 1 else "among the best"
