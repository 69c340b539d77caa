"""The figures table of a publication, with what an earlier build worked out from the same spec files, riders and routes.

* worked_out   the table; only what is new is computed, by several processes where that pays
"""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from generator.content.model import Content
from generator.figures.chooser import grid as chooser_grid
from generator.figures.chooser.grid import Grid
from generator.figures.table.assembly import Assembly
from generator.figures.table.details import Keep, Rows
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import Part, groups
from generator.figures.table.tabulate import kinds_of, part
from generator.publish.cache.bike_memo import Pieces
from generator.publish.cache.inputs import Inputs
from generator.publish.cache.spec_cache import Recalled
from generator.publish.cache.store import Store
from generator.publish.cache.worker_pool import begun, hands, shared
from generator.publish.reading import Publication
from generator.specs.bike import Bike

_FEW = 16
"""Fewer bikes than this are not parted for the chooser."""

BOXES = "0123456789abcdef"
"""Bikes are kept together by the first sign of their mark: few files, of which an edit writes one anew."""


def worked_out(
    publication: Publication,
    recalled: Recalled,
    tell: Callable[[float], None],
    meanwhile: Callable[[], None] = lambda: None,
) -> FiguresTable:
    """The table, ready for pages. `recalled` is what read the spec files; `tell` is told of the share that is done.

    What is new is worked out by other processes, while this one reads what is kept: it need not load what runs compiled
    code. `meanwhile` is done beside, too.
    """
    recalled.keep()
    store, marks = recalled.store, recalled.marks
    bikes, ground = publication.bikes, publication.content.ground
    names = _Names(recalled.inputs, ground, marks)
    new = _tasks([bike for bike in bikes if not store.has(names.behind(bike.slug))])
    made: dict[str, Part] = {}
    fresh: dict[str, bytes] = {}
    rides = Grid()
    work = partial(_worked, content=ground)
    with begun(work, new) as results:
        assembly = Assembly(bikes, publication.content, kinds_of(bikes, publication.content))

        def take(found: tuple[Part, Grid]) -> None:
            whole, ridden = found
            rides.ranges.update(ridden.ranges)
            rides.grades.update(ridden.grades)
            for slug, packed in whole.behind.items():
                made[slug], fresh[slug] = replace(whole.of(slug), behind={}), packed
                assembly.add(made[slug])
                store.put(names.behind(slug), packed)

        kept = {key: each for box in BOXES for key, each in _box(store, names, box).items()}
        coming = {bike.slug for task in new for bike in task.bikes}
        for slug, mark in marks.items():
            if slug not in coming and (slug, mark) in kept:
                made[slug] = kept[slug, mark]
                assembly.add(made[slug])
                store.want(names.behind(slug))
        meanwhile()
        for count, found in enumerate(results, 1):
            take(found)
            tell(count / len(new))
    lost = _tasks([bike for bike in bikes if bike.slug not in made])
    for found in shared(work, lost):
        take(found)
    for box in BOXES:
        known = {(slug, mark): made[slug] for slug, mark in marks.items() if mark[0] == box}
        if known.keys() != {key for key in kept if key[1][0] == box}:
            store.put(names.all(f"parts {box}"), known)
    behind = _Behind(bikes, ground, fresh, store, names)
    grid = _chooser(bikes, ground, marks, store, names, rides)
    keep = _kept_rows(Pieces(store.beside("pieces"), recalled.inputs), names)
    return assembly.table(behind, lambda: grid, marks, keep)


def _kept_rows(pieces: Pieces, names: "_Names") -> Keep:
    """Rows of diagrams from an earlier build: of a bike, or of the typical machine where the slug is empty."""

    def keep(slug: str, name: str, make: Callable[[], Rows]) -> Rows:
        reads = {slug: names.behind(slug) if slug else names.all("typical")}
        return pieces(f"{name} {slug}", reads, lambda slug: make())[slug]

    return keep


class _Task(NamedTuple):
    """What one process works out at a time."""

    bikes: tuple[Bike, ...]
    figures: bool
    rides: bool
    """Those of the chooser."""


def _tasks(bikes: Sequence[Bike]) -> list[_Task]:
    """None for no bikes: nobody is hired for it. The chooser's rides are of more bikes at a time than figures."""
    if not bikes:
        return []
    parts = groups(bikes)
    if len(parts) == 1:
        return [_Task(parts[0], figures=True, rides=True)]
    return [
        *(_Task(some, figures=True, rides=False) for some in parts),
        *(_Task(some, figures=False, rides=True) for some in _for_chooser(bikes)),
    ]


def _for_chooser(bikes: Sequence[Bike]) -> list[tuple[Bike, ...]]:
    return groups(bikes, min(chooser_grid.TOGETHER, max(_FEW, -(-len(bikes) // hands()))))


def _worked(task: _Task, content: Content) -> tuple[Part, Grid]:
    return (
        part(task.bikes, content, pages=True) if task.figures else Part({}, {}),
        chooser_grid.grid(task.bikes, content) if task.rides else Grid(),
    )


def _box(store: Store, names: "_Names", box: str) -> dict[tuple[str, str], Part]:
    """What is kept of the bikes of a box, by slug and mark."""
    return store.get(names.all(f"parts {box}")) or {}


def _chooser(
    bikes: Sequence[Bike],
    ground: Content,
    marks: Mapping[str, str],
    store: Store,
    names: "_Names",
    fresh: Grid,
) -> Grid:
    """The chooser's rides of all bikes, those of some being there already. They are kept together: all are asked for at
    once, and each is small."""
    key = names.all("chooser")
    kept: dict[tuple[str, str], Grid] = store.get(key) or {}
    known = {slug: kept[slug, mark] for slug, mark in marks.items() if (slug, mark) in kept}
    known |= {bike.slug: fresh.of(bike.slug) for bike in bikes if bike.slug in fresh.ranges}
    new = [bike for bike in bikes if bike.slug not in known]
    found = chooser_grid.joined(
        shared(partial(chooser_grid.grid, content=ground), _for_chooser(new))
    )
    known |= {bike.slug: found.of(bike.slug) for bike in new}
    if new or fresh.ranges:
        store.put(key, {(slug, mark): known[slug] for slug, mark in marks.items() if slug in known})
    return chooser_grid.joined(known[bike.slug] for bike in bikes)


class _Names:
    """Under which names things are in the store: of everything that they were made from. Empty where that is not known."""

    def __init__(self, inputs: Inputs | None, ground: Content, marks: Mapping[str, str]) -> None:
        told = f"{inputs.program}\n{ground!r}" if inputs else ""
        self._same = hashlib.sha256(told.encode()).hexdigest() if told else ""
        self._marks = marks

    def all(self, what: str) -> str:
        """Of all bikes together."""
        return f"{what}\n{self._same}" if self._same else ""

    def behind(self, slug: str) -> str:
        """Of one bike."""
        mark = self._marks.get(slug)
        return f"behind\n{self._same}\n{slug}\n{mark}" if self._same and mark else ""


class _Behind:
    """Packed background of a bike: of this build, of an earlier one, or made again where that is gone meanwhile."""

    def __init__(
        self,
        bikes: tuple[Bike, ...],
        ground: Content,
        fresh: Mapping[str, bytes],
        store: Store,
        names: _Names,
    ) -> None:
        self._bikes = {bike.slug: bike for bike in bikes}
        self._ground, self._fresh, self._store, self._names = ground, fresh, store, names

    def __call__(self, slug: str) -> bytes:
        if slug in self._fresh:
            return self._fresh[slug]
        bike = self._bikes[slug]
        kept: bytes | None = self._store.get(self._names.behind(slug))
        return kept or part([bike], self._ground, pages=True).behind[slug]
