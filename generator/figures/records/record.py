"""A table as a record that later days can be set against, and what moved from one record to another.

* record_of    the table of a day as a `Release`
* figure_in    a figure as a record has it, to be shown
* moves_of     what reads otherwise about one bike
* between      everything that moved between two records
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from generator.content.releases import Numbers, Release
from generator.figures import show, units
from generator.figures.criteria.fields import field_texts
from generator.figures.model import Figure, Kind
from generator.figures.table.figures_table import FiguresTable
from generator.specs.bike import Bike

_MONEY = re.compile("[A-Z]{3}")


@dataclass(frozen=True)
class Move:
    """One figure of one bike that reads otherwise; None on a side that lacks it."""

    kind: Kind
    old: Figure | None
    new: Figure | None


@dataclass(frozen=True)
class Movement:
    """What is different from one record to a later one. Slugs are in the alphabet's order."""

    come: tuple[str, ...]
    gone: tuple[str, ...]
    moved: dict[str, tuple[Move, ...]]
    """By slug of a bike that is in both."""
    new_kinds: tuple[Kind, ...]
    """Figures that the earlier record had of no bike; they are told once and not for each bike."""
    entered: tuple[tuple[str, str], ...]
    """Slugs of list and bike."""
    left: tuple[tuple[str, str], ...]

    def __bool__(self) -> bool:
        parts = (self.come, self.gone, self.moved, self.new_kinds, self.entered, self.left)
        return any(parts)


def record_of(
    table: FiguresTable,
    day: date,
    lists: Mapping[str, tuple[str, ...]],
    bikes: Sequence[Bike] | None = None,
) -> Release:
    """The table on a day, with the members of the running lists by the lists' slugs; of all bikes unless some are given."""
    figures: dict[str, dict[str, Numbers]] = {}
    own: dict[str, dict[str, str]] = {}
    bikes = table.bikes if bikes is None else bikes
    for bike in bikes:
        found = table.of(bike.slug)
        figures[bike.slug] = {id: (each.value, each.low, each.high) for id, each in found.items()}
        odd = {
            id: each.kind.unit.si
            for id, each in found.items()
            if each.kind.unit.si != table.kinds[id].unit.si
        }
        if odd:
            own[bike.slug] = odd
    fields = {bike.slug: {"name": bike.full_name, **field_texts(bike)} for bike in bikes}
    return Release(day, figures, fields, dict(lists), own)


def figure_in(release: Release, slug: str, id: str, table: FiguresTable) -> Figure | None:
    """A figure as a record has it; None where it has none, or where nobody works out such a figure any more.

    What it rests on is not in the record; it is taken as it is now.
    """
    numbers = release.figures.get(slug, {}).get(id)
    kind = table.kinds.get(id)
    if numbers is None or kind is None:
        return None
    unit = release.units.get(slug, {}).get(id)
    if unit and not _MONEY.fullmatch(unit):
        return None
    kind = replace(kind, unit=units.money(unit)) if unit else kind
    now = table.get(slug, id)
    return Figure(slug, kind, *numbers, now.basis if now else "claimed", "")


def moves_of(
    old: Release, new: Release, slug: str, table: FiguresTable, system: show.System
) -> tuple[Move, ...]:
    """The figures of a bike whose shown value differs, headline figures first, then in the registry's order."""
    known = old.ids & new.ids
    found = []
    for kind in table.kinds.values():
        if kind.id in known and not _same(old, new, slug, kind.id):
            was, now = (figure_in(release, slug, kind.id, table) for release in (old, new))
            if shown(was, system) != shown(now, system):
                found.append(Move(kind, was, now))
    return tuple(sorted(found, key=lambda move: not move.kind.headline))


def between(old: Release, new: Release, table: FiguresTable, system: show.System) -> Movement:
    """Everything that moved from one record to a later one; `table` tells kinds and units."""
    before, after = set(old.figures), set(new.figures)
    moved = {slug: moves_of(old, new, slug, table, system) for slug in sorted(before & after)}
    fresh = new.ids - old.ids if old.figures else frozenset()
    return Movement(
        tuple(sorted(after - before)),
        tuple(sorted(before - after)),
        {slug: moves for slug, moves in moved.items() if moves},
        tuple(kind for id, kind in table.kinds.items() if id in fresh),
        tuple(_only(new, old)),
        tuple(_only(old, new)),
    )


def _same(old: Release, new: Release, slug: str, id: str) -> bool:
    """Are value, interval and unit the same? Then nothing need be put into words."""
    sides = [(each.figures[slug].get(id), each.units.get(slug, {}).get(id)) for each in (old, new)]
    return sides[0] == sides[1]


def shown(figure: Figure | None, system: show.System) -> str:
    """The value as it is shown; empty for none."""
    return show.text(figure, system) if figure else ""


def _only(these: Release, those: Release) -> list[tuple[str, str]]:
    """List and bike of one record that are not in the other, of lists that both know."""
    return [
        (name, slug)
        for name in sorted(these.lists.keys() & those.lists.keys())
        for slug in sorted(set(these.lists[name]) - set(those.lists[name]))
    ]
