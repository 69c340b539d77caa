"""The figures of both states, with as little computed twice as can be.

Where riders, routes and prices are the same, both states go through one computation: a bike that changed stands
in it twice, the earlier version under a name that no file can have.
"""

import functools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from generator.content.model import Content
from generator.figures.chooser import grid as chooser_grid
from generator.figures.table.details import Moved
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.tabulate import kinds_of, tabulate
from generator.publish.impact.leaves import MOST, Leaf, leaves
from generator.publish.impact.pairing import Pair
from generator.publish.impact.sides import data_of
from generator.publish.impact.why import Trial
from generator.specs.bike import Bike

_EARLIER = "@before"
"""After the slug of an earlier version; a slug holds no such sign."""


@dataclass(frozen=True)
class Tables:
    before: FiguresTable
    after: FiguresTable
    trials: dict[str, list[Trial]] = field(default_factory=dict)
    """By slug of a bike that changed in several parts: what each part does."""


def tables(pairs: Sequence[Pair], old_content: Content, new_content: Content) -> Tables:
    """Figures before and after, and of the versions between."""
    old = [pair.before for pair in pairs if pair.before]
    new = [pair.after for pair in pairs if pair.after]
    same = same_setting(old_content, new_content)
    mixed = [mix for pair in pairs for mix in _mixed(pair, least=2 if same else 1)]
    having, lacking = [mix.having for mix in mixed], [mix.lacking for mix in mixed]
    now = {bike.slug: bike for bike in new}
    if same:
        places = {bike.slug: _place(bike, now.get(bike.slug)) for bike in old}
        changed = [
            replace(bike, slug=places[bike.slug]) for bike in old if places[bike.slug] != bike.slug
        ]
        earlier = later = tabulate([*new, *changed, *having, *lacking], new_content)
    else:
        places = {bike.slug: bike.slug for bike in old}
        earlier = tabulate([*old, *having], old_content)
        later = tabulate([*new, *lacking], new_content)
    trials: dict[str, list[Trial]] = {}
    for mix in mixed:
        trial = Trial(mix.leaf, earlier.of(mix.having.slug), later.of(mix.lacking.slug))
        trials.setdefault(mix.slug, []).append(trial)
    return Tables(
        _part(earlier, old, places, old_content),
        _part(later, new, {slug: slug for slug in now}, new_content),
        trials,
    )


def _place(bike: Bike, now: Bike | None) -> str:
    """Under which slug the earlier version is computed: its own, where it is that of the later version too."""
    same = now is not None and data_of(bike) == data_of(now)
    return bike.slug if same else bike.slug + _EARLIER


class _Mix(NamedTuple):
    """Two versions between the earlier and the later."""

    slug: str
    leaf: Leaf
    having: Bike
    """The earlier bike with this part of the later."""
    lacking: Bike
    """The later bike with this part of the earlier."""


def _mixed(pair: Pair, least: int) -> Iterator[_Mix]:
    """For each part of a bike that changed in at least so many; one part alone needs no trial."""
    if pair.before and pair.after:
        parts = leaves(pair.before, pair.after)
        for place, leaf in enumerate(parts if least <= len(parts) <= MOST else ()):
            having = replace(leaf.put(pair.before, pair.after), slug=f"{pair.slug}@with{place}")
            lacking = replace(leaf.put(pair.after, pair.before), slug=f"{pair.slug}@less{place}")
            yield _Mix(pair.slug, leaf, having, lacking)


def same_setting(one: Content, other: Content) -> bool:
    """Are all things the same that figures take from the content?"""
    return _setting(one) == _setting(other)


def _setting(content: Content) -> tuple[Any, ...]:
    settings = content.settings
    return content.riders, content.routes, settings.electricity_price, settings.currency


def _part(
    both: FiguresTable, bikes: Sequence[Bike], places: Mapping[str, str], content: Content
) -> FiguresTable:
    """The table of some of the bikes, each taken from its place."""
    back = {place: slug for slug, place in places.items()}
    return replace(
        both,
        bikes=tuple(bikes),
        kinds=kinds_of(bikes, content),
        figures={
            slug: {id: replace(each, bike=slug) for id, each in both.figures[place].items()}
            if slug != place
            else both.figures[place]
            for slug, place in places.items()
        },
        missing={slug: both.missing[place] for slug, place in places.items()},
        behind=Moved(both.behind, places),
        rides=tuple(
            replace(ride, bike=back[ride.bike]) for ride in both.rides if ride.bike in back
        ),
        claims={
            slug: replace(both.claims[place], bike=slug)
            for slug, place in places.items()
            if place in both.claims
        },
        grid=functools.cache(functools.partial(chooser_grid.grid, tuple(bikes), content)),
        effects={
            slug: both.effects[place] for slug, place in places.items() if place in both.effects
        },
        uses={slug: both.uses[place] for slug, place in places.items() if place in both.uses},
    )
