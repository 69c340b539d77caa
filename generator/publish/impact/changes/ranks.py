"""Finds pairs of bikes whose order by a headline figure changed, and the lists that hold both."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from generator.figures import show
from generator.figures.model import Figure, FigureKind
from generator.figures.table.figures_table import FiguresTable
from generator.pages.lists import bike_table
from generator.publish.impact.model import RankSwap
from generator.publish.impact.states.pairing import BikeVersions

ALL_BIKES = "all bikes"


def find_swaps(
    pairs: Sequence[BikeVersions],
    before: FiguresTable,
    after: FiguresTable,
    system: show.UnitSystem,
) -> tuple[RankSwap, ...]:
    """Pairs that changed order: clear ones first, then bikes that share a use, then in the order of the registry."""
    both = [pair for pair in pairs if pair.before and pair.after]
    slugs_by_use = _group_by_use(both)
    names = {pair.slug: pair.after.full_name for pair in both if pair.after}
    found: list[RankSwap] = []
    for kind in after.kinds.values():
        if kind.headline and kind.better != "neither" and kind.id in before.kinds:
            old, new = before.column(kind.id), after.column(kind.id)
            was = {p.slug: old[p.before.slug] for p in both if p.before and p.before.slug in old}
            found += _find_swaps_of_kind(kind, was, new, slugs_by_use, names, system)
    return tuple(
        sorted(found, key=lambda swap: (not swap.clear, len(swap.lists) == 1))
    )  # a stable sort keeps the registry's order


def _find_swaps_of_kind(
    kind: FigureKind,
    old: Mapping[str, Figure],
    new: Mapping[str, Figure],
    slugs_by_use: Mapping[str, set[str]],
    names: Mapping[str, str],
    system: show.UnitSystem,
) -> Iterator[RankSwap]:
    """Pairs that changed order by one kind of figure. `old` and `new` are its figures by the bikes' later slugs."""
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
        lists = (
            ALL_BIKES,
            *sorted(name for name, held in slugs_by_use.items() if {one, other} <= held),
        )
        clear = new[one].low > new[other].high or new[other].low > new[one].high
        verdict = "a clear difference" if clear else "no clear difference: the intervals meet"
        sentence = (
            f"{kind.title}: {names[ahead]} is now ahead of {names[behind]}, "
            f"{show.format_figure(new[ahead], system)} against {show.format_figure(new[behind], system)}; "
            f"it was behind, {show.format_figure(old[ahead], system)} against {show.format_figure(old[behind], system)}. "
            f"{verdict.capitalize()}."
        )
        yield RankSwap(kind.id, kind.title, ahead, behind, lists, clear, sentence)


def _group_by_use(both: Sequence[BikeVersions]) -> dict[str, set[str]]:
    """Slugs of bikes that have a use in both states, by title of the use."""
    found: dict[str, set[str]] = {}
    for pair in both:
        if pair.before and pair.after:
            for use in set(pair.before.uses) & set(pair.after.uses):
                found.setdefault(bike_table.find_use_title(use), set()).add(pair.slug)
    return found
