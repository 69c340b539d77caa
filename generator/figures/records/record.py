"""Records of the figures table, and what changed from one record to a later one.

* make_record            the table on a day, as a `Release`
* restore_figure         a figure as a record has it
* find_figure_changes    the figures of a bike whose shown value changed
* compare_records        everything that changed from one record to a later one
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from generator.content.releases import Numbers, Release
from generator.figures import show, units
from generator.figures.criteria.fields import field_texts
from generator.figures.model import Figure, FigureKind
from generator.figures.table.figures_table import FiguresTable
from generator.specs.bike import Bike

_MONEY = re.compile("[A-Z]{3}")


@dataclass(frozen=True)
class FigureChange:
    """A figure of a bike whose shown value changed; None on the side that lacks it."""

    kind: FigureKind
    old: Figure | None
    new: Figure | None


@dataclass(frozen=True)
class RecordChanges:
    """Everything that changed from one record to a later one. Slugs in alphabetical order."""

    added: tuple[str, ...]
    """Slugs of bikes that only the later record has."""
    removed: tuple[str, ...]
    """Slugs of bikes that only the earlier record has."""
    moved: dict[str, tuple[FigureChange, ...]]
    """Changed figures, by slug of a bike that is in both."""
    new_kinds: tuple[FigureKind, ...]
    """Figures that the earlier record had for no bike; listed once, not for each bike."""
    entered: tuple[tuple[str, str], ...]
    """Slugs of list and bike, where the bike entered."""
    left: tuple[tuple[str, str], ...]
    """Slugs of list and bike, where the bike left."""

    def __bool__(self) -> bool:
        parts = (self.added, self.removed, self.moved, self.new_kinds, self.entered, self.left)
        return any(parts)


def make_record(
    table: FiguresTable,
    day: date,
    lists: Mapping[str, tuple[str, ...]],
    bikes: Sequence[Bike] | None = None,
) -> Release:
    """A record of the table on a day, with the members of the running lists by slug; of all bikes unless some are given."""
    figures: dict[str, dict[str, Numbers]] = {}
    own: dict[str, dict[str, str]] = {}
    bikes = table.bikes if bikes is None else bikes
    for bike in bikes:
        found = table.figures_of(bike.slug)
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


def restore_figure(release: Release, slug: str, id: str, table: FiguresTable) -> Figure | None:
    """A figure as a record has it; None where the record lacks it, or where such a figure is no longer computed.

    Records have no basis; the present one is taken.
    """
    numbers = release.figures.get(slug, {}).get(id)
    kind = table.kinds.get(id)
    if numbers is None or kind is None:
        return None
    unit = release.units.get(slug, {}).get(id)
    if unit and not _MONEY.fullmatch(unit):
        return None
    kind = replace(kind, unit=units.make_money_unit(unit)) if unit else kind
    now = table.get(slug, id)
    return Figure(slug, kind, *numbers, now.basis if now else "claimed", "")


def find_figure_changes(
    old: Release, new: Release, slug: str, table: FiguresTable, system: show.UnitSystem
) -> tuple[FigureChange, ...]:
    """The figures of a bike whose shown value differs, headline figures first, then in the registry's order."""
    known = old.ids & new.ids
    found = []
    for kind in table.kinds.values():
        if kind.id in known and not _has_same_numbers(old, new, slug, kind.id):
            was, now = (restore_figure(release, slug, kind.id, table) for release in (old, new))
            if format_shown_value(was, system) != format_shown_value(now, system):
                found.append(FigureChange(kind, was, now))
    return tuple(sorted(found, key=lambda move: not move.kind.headline))


def compare_records(
    old: Release, new: Release, table: FiguresTable, system: show.UnitSystem
) -> RecordChanges:
    """Everything that changed from one record to a later one; `table` gives kinds and units."""
    before, after = set(old.figures), set(new.figures)
    moved = {
        slug: find_figure_changes(old, new, slug, table, system) for slug in sorted(before & after)
    }
    fresh = new.ids - old.ids if old.figures else frozenset()
    return RecordChanges(
        tuple(sorted(after - before)),
        tuple(sorted(before - after)),
        {slug: moves for slug, moves in moved.items() if moves},
        tuple(kind for id, kind in table.kinds.items() if id in fresh),
        tuple(_subtract_memberships(new, old)),
        tuple(_subtract_memberships(old, new)),
    )


def _has_same_numbers(old: Release, new: Release, slug: str, id: str) -> bool:
    """Whether value, interval and unit are equal; then the shown values need no comparing."""
    sides = [(each.figures[slug].get(id), each.units.get(slug, {}).get(id)) for each in (old, new)]
    return sides[0] == sides[1]


def format_shown_value(figure: Figure | None, system: show.UnitSystem) -> str:
    """A figure's value as shown; empty for None."""
    return show.format_figure(figure, system) if figure else ""


def _subtract_memberships(these: Release, those: Release) -> list[tuple[str, str]]:
    """Slugs of list and bike that only the first record has, of lists that both know."""
    return [
        (name, slug)
        for name in sorted(these.lists.keys() & those.lists.keys())
        for slug in sorted(set(these.lists[name]) - set(those.lists[name]))
    ]
