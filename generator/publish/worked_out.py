"""The figures table of a publication, with what an earlier build worked out from the same spec files, riders and routes.

* worked_out   the table; only what is new is computed, by several processes where that pays
"""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial

from generator.content.model import Content
from generator.figures import choosing_grid
from generator.figures.choosing_grid import Grid
from generator.figures.parts import Part, groups
from generator.figures.table import FiguresTable
from generator.figures.tabulate import part, table_of
from generator.publish.crew import hands, shared
from generator.publish.inputs import Inputs
from generator.publish.reading import Publication
from generator.publish.store import Store
from generator.specs.bike import Bike

_FEW = 16
"""Fewer bikes than this are not parted for the chooser."""


def worked_out(
    publication: Publication,
    marks: Mapping[str, str],
    store: Store,
    inputs: Inputs | None,
    tell: Callable[[float], None],
) -> FiguresTable:
    """The table, ready for pages. `marks` are hashes of spec files, by slug; `tell` is told of the share that is done."""
    bikes, ground = publication.bikes, publication.content.ground
    names = _Names(inputs, ground, marks) if inputs else None
    made: dict[str, Part] = {}
    for bike in bikes if names else ():
        found = store.get(names.part(bike.slug)) if names else None
        if found is not None and names:
            made[bike.slug] = found
            store.want(names.behind(bike.slug))
    new = groups([bike for bike in bikes if bike.slug not in made])
    fresh: dict[str, bytes] = {}
    for count, (some, each) in enumerate(
        zip(new, shared(partial(part, content=ground, pages=True), new), strict=True), 1
    ):
        fresh |= each.behind
        for bike in some:
            made[bike.slug] = replace(each.of(bike.slug), behind={})
            if names:
                store.put(names.part(bike.slug), made[bike.slug])
                store.put(names.behind(bike.slug), each.behind[bike.slug])
        tell(count / len(new))
    behind = _Behind(bikes, ground, fresh, store, names)
    grid = _chooser(bikes, ground, marks, store, names)
    parts = [made[bike.slug] for bike in bikes] or [part((), ground)]
    return table_of(bikes, publication.content, parts, behind, lambda: grid, marks)


def _chooser(
    bikes: Sequence[Bike],
    ground: Content,
    marks: Mapping[str, str],
    store: Store,
    names: "_Names | None",
) -> Grid:
    """The chooser's rides of all bikes. They are kept together: all are asked for at once, and each is small."""
    key = names.chooser if names else ""
    kept: dict[tuple[str, str], Grid] = store.get(key) or {}
    known = {slug: kept[slug, mark] for slug, mark in marks.items() if (slug, mark) in kept}
    new = [bike for bike in bikes if bike.slug not in known]
    some = min(choosing_grid.TOGETHER, max(_FEW, -(-len(new) // hands())))
    found = choosing_grid.joined(
        shared(partial(choosing_grid.grid, content=ground), groups(new, some))
    )
    known |= {bike.slug: found.of(bike.slug) for bike in new}
    if new:
        store.put(key, {(slug, mark): known[slug] for slug, mark in marks.items() if slug in known})
    return choosing_grid.joined(known[bike.slug] for bike in bikes)


class _Names:
    """Under which names the store has what belongs to a bike: of everything that it was made from."""

    def __init__(self, inputs: Inputs, ground: Content, marks: Mapping[str, str]) -> None:
        told = f"{inputs.program}\n{ground!r}"
        self._same = hashlib.sha256(told.encode()).hexdigest()
        self._marks = marks

    def part(self, slug: str) -> str:
        return self._of("part", slug)

    def behind(self, slug: str) -> str:
        return self._of("behind", slug)

    @property
    def chooser(self) -> str:
        return f"chooser\n{self._same}"

    def _of(self, what: str, slug: str) -> str:
        mark = self._marks.get(slug)
        return f"{what}\n{self._same}\n{slug}\n{mark}" if mark else ""


class _Behind:
    """Packed background of a bike: of this build, of an earlier one, or made again where that is gone meanwhile."""

    def __init__(
        self,
        bikes: tuple[Bike, ...],
        ground: Content,
        fresh: Mapping[str, bytes],
        store: Store,
        names: _Names | None,
    ) -> None:
        self._bikes = {bike.slug: bike for bike in bikes}
        self._ground, self._fresh, self._store, self._names = ground, fresh, store, names

    def __call__(self, slug: str) -> bytes:
        if slug in self._fresh:
            return self._fresh[slug]
        bike = self._bikes[slug]
        kept: bytes | None = self._store.get(self._names.behind(slug)) if self._names else None
        return kept or part([bike], self._ground, pages=True).behind[slug]
