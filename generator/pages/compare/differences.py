"""What figures side by side say: which bike is best, or that there is no clear difference.

Two figures differ clearly when their intervals do not meet. templates/scripts/verdict.js says the same in the browser.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from generator.figures.model import Figure

MORE = {"higher": ("better", "best"), "lower": ("better", "best"), "neither": ("higher", "highest")}
"""Comparative and superlative by what is better."""


@dataclass(frozen=True)
class Verdict:
    words: str
    clear: bool
    """Do at least two of the bikes differ clearly?"""
    best: tuple[int, ...] = ()
    """Place of the best bike and of those with no clear difference from it; empty when nothing is better, or all meet."""


def verdict(figures: Sequence[Figure | None], names: Sequence[str]) -> Verdict:
    """One kind of figure of two bikes or more, None where a bike has none; `names` in the same order."""
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
    said = _of_known(known, names)
    return replace(said, words=f"{said.words}; {lacking}") if unknown else said


def _of_known(known: Sequence[tuple[int, Figure]], names: Sequence[str]) -> Verdict:
    if _exactly([each for _, each in known]):
        return Verdict("the same", False)
    above = max(known, key=lambda one: one[1].low)
    below = min(known, key=lambda one: one[1].high)
    if above[1].low <= below[1].high:
        return Verdict("no clear difference", False)
    better = known[0][1].kind.better
    more, most = MORE[better]
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
    equal = _exactly([top, *(one[1] for one in level)])
    beside = "the same as" if equal else "no clear difference from"
    rest = listed([names[one[0]] for one in level])
    return Verdict(f"{most}: {names[place]}, {beside} {rest}", True, best)


def _exactly(figures: Sequence[Figure]) -> bool:
    """One value for all, without uncertainty: two that may lie anywhere in an interval need not be the same."""
    return len({end for each in figures for end in (each.value, each.low, each.high)}) == 1


def mark(said: Verdict, place: int) -> str:
    """What stands beside the figure of a bike that leads; empty for the others."""
    if place not in said.best:
        return ""
    return "best" if len(said.best) == 1 else "among the best"


def listed(names: Sequence[str]) -> str:
    """`A`, `A and B`, `A, B and C`."""
    return " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else "".join(names)
