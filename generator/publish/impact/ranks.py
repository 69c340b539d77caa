"""Pairs of bikes whose order by a headline figure changed, and the lists in which a reader sees it."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from generator.figures import show
from generator.figures.model import Figure, Kind
from generator.figures.table.figures_table import FiguresTable
from generator.pages.lists import bike_table
from generator.publish.impact.model import Swap
from generator.publish.impact.pairing import Pair

ALL = "all bikes"


def swaps(
    pairs: Sequence[Pair], before: FiguresTable, after: FiguresTable, system: show.System
) -> tuple[Swap, ...]:
    """Clear ones first, then those that share a use, then by figure."""
    both = [pair for pair in pairs if pair.before and pair.after]
    shelves = _shelves(both)
    names = {pair.slug: pair.after.full_name for pair in both if pair.after}
    found: list[Swap] = []
    for kind in after.kinds.values():
        if kind.headline and kind.better != "neither" and kind.id in before.kinds:
            old, new = before.column(kind.id), after.column(kind.id)
            was = {p.slug: old[p.before.slug] for p in both if p.before and p.before.slug in old}
            found += _of_kind(kind, was, new, shelves, names, system)
    return tuple(
        sorted(found, key=lambda swap: (not swap.clear, len(swap.lists) == 1))
    )  # stable: the registry's order within


def _of_kind(
    kind: Kind,
    old: Mapping[str, Figure],
    new: Mapping[str, Figure],
    shelves: Mapping[str, set[str]],
    names: Mapping[str, str],
    system: show.System,
) -> Iterator[Swap]:
    sign = 1.0 if kind.better == "higher" else -1.0
    slugs = [slug for slug in old if slug in new]
    for one, other in combinations(slugs, 2):
        if new[one].kind.unit.si != new[other].kind.unit.si:
            continue  # prices in two currencies have no order
        was = sign * (old[one].value - old[other].value)
        now = sign * (new[one].value - new[other].value)
        if was * now >= 0.0:
            continue
        ahead, behind = (one, other) if now > 0.0 else (other, one)
        lists = (ALL, *sorted(name for name, held in shelves.items() if {one, other} <= held))
        clear = new[one].low > new[other].high or new[other].low > new[one].high
        verdict = "a clear difference" if clear else "no clear difference: the intervals meet"
        sentence = (
            f"{kind.title}: {names[ahead]} is now ahead of {names[behind]}, "
            f"{show.text(new[ahead], system)} against {show.text(new[behind], system)}; "
            f"it was behind, {show.text(old[ahead], system)} against {show.text(old[behind], system)}. "
            f"{verdict.capitalize()}."
        )
        yield Swap(kind.id, kind.title, ahead, behind, lists, clear, sentence)


def _shelves(both: Sequence[Pair]) -> dict[str, set[str]]:
    """Slugs by title of the use, of bikes that have the use on both sides."""
    found: dict[str, set[str]] = {}
    for pair in both:
        if pair.before and pair.after:
            for use in set(pair.before.uses) & set(pair.after.uses):
                found.setdefault(bike_table.title(use), set()).add(pair.slug)
    return found
