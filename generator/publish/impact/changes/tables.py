"""Computes the figures of both states, with as little as possible computed twice.

If riders, routes and prices are the same, both states are computed together. A changed bike is then computed twice,
its earlier version under a slug that no file can have.
"""

import functools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from generator.content.model import Content
from generator.figures.chooser import grid as chooser_grid
from generator.figures.table.details import Renamed
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.tabulate import list_kinds, tabulate
from generator.publish.impact.changes.leaves import MOST_PARTS, BikePart, find_changed_parts
from generator.publish.impact.changes.why import PartTrial
from generator.publish.impact.states.pairing import BikeVersions
from generator.publish.impact.states.sides import strip_identity
from generator.specs.bike import Bike

_EARLIER_SUFFIX = "@before"
"""Suffix of the slug of an earlier version; no real slug contains `@`."""


@dataclass(frozen=True)
class ComparedTables:
    """Figures of both states, and of the versions of bikes between them."""

    before: FiguresTable
    after: FiguresTable
    trials: dict[str, list[PartTrial]] = field(default_factory=dict)
    """The effect of each changed part, by slug, for bikes that changed in several parts."""


def tabulate_states(
    pairs: Sequence[BikeVersions], old_content: Content, new_content: Content
) -> ComparedTables:
    """Compute the figures of both states, and of the versions between them."""
    old = [pair.before for pair in pairs if pair.before]
    new = [pair.after for pair in pairs if pair.after]
    same = have_same_setting(old_content, new_content)
    mixed = [mix for pair in pairs for mix in _mix_versions(pair, least=2 if same else 1)]
    with_part, without_part = [mix.with_part for mix in mixed], [mix.without_part for mix in mixed]
    now = {bike.slug: bike for bike in new}
    if same:
        places = {bike.slug: _choose_slug(bike, now.get(bike.slug)) for bike in old}
        changed = [
            replace(bike, slug=places[bike.slug]) for bike in old if places[bike.slug] != bike.slug
        ]
        earlier = later = tabulate([*new, *changed, *with_part, *without_part], new_content)
    else:
        places = {bike.slug: bike.slug for bike in old}
        earlier = tabulate([*old, *with_part], old_content)
        later = tabulate([*new, *without_part], new_content)
    trials: dict[str, list[PartTrial]] = {}
    for mix in mixed:
        trial = PartTrial(
            mix.part,
            earlier.figures_of(mix.with_part.slug),
            later.figures_of(mix.without_part.slug),
        )
        trials.setdefault(mix.slug, []).append(trial)
    return ComparedTables(
        _select_bikes(earlier, old, places, old_content),
        _select_bikes(later, new, {slug: slug for slug in now}, new_content),
        trials,
    )


def _choose_slug(bike: Bike, now: Bike | None) -> str:
    """The slug under which the earlier version is computed: its own if the later version has the same data."""
    same = now is not None and strip_identity(bike) == strip_identity(now)
    return bike.slug if same else bike.slug + _EARLIER_SUFFIX


class _MixedVersions(NamedTuple):
    """Two versions of a bike between the earlier and the later one."""

    slug: str
    part: BikePart
    with_part: Bike
    """The earlier bike with this part of the later one."""
    without_part: Bike
    """The later bike with this part of the earlier one."""


def _mix_versions(pair: BikeVersions, least: int) -> Iterator[_MixedVersions]:
    """Versions for each changed part of a bike, if at least `least` parts changed and at most `MOST_PARTS`."""
    if pair.before and pair.after:
        parts = find_changed_parts(pair.before, pair.after)
        for place, part in enumerate(parts if least <= len(parts) <= MOST_PARTS else ()):
            with_part = replace(
                part.replace_part(pair.before, pair.after), slug=f"{pair.slug}@with{place}"
            )
            without_part = replace(
                part.replace_part(pair.after, pair.before), slug=f"{pair.slug}@less{place}"
            )
            yield _MixedVersions(pair.slug, part, with_part, without_part)


def have_same_setting(one: Content, other: Content) -> bool:
    """Is everything equal that figures take from the content?"""
    return _extract_setting(one) == _extract_setting(other)


def _extract_setting(content: Content) -> tuple[Any, ...]:
    """Everything that figures take from the content."""
    settings = content.settings
    return content.riders, content.routes, settings.electricity_price, settings.currency


def _select_bikes(
    both: FiguresTable, bikes: Sequence[Bike], places: Mapping[str, str], content: Content
) -> FiguresTable:
    """The table of `bikes` alone. `places` maps each slug to the slug under which it was computed."""
    back = {place: slug for slug, place in places.items()}
    return replace(
        both,
        bikes=tuple(bikes),
        kinds=list_kinds(bikes, content),
        figures={
            slug: {id: replace(each, bike=slug) for id, each in both.figures[place].items()}
            if slug != place
            else both.figures[place]
            for slug, place in places.items()
        },
        missing={slug: both.missing[place] for slug, place in places.items()},
        details=Renamed(both.details, places),
        rides=tuple(
            replace(ride, bike=back[ride.bike]) for ride in both.rides if ride.bike in back
        ),
        claims={
            slug: replace(both.claims[place], bike=slug)
            for slug, place in places.items()
            if place in both.claims
        },
        grid=functools.cache(functools.partial(chooser_grid.compute_grid, tuple(bikes), content)),
        effects={
            slug: both.effects[place] for slug, place in places.items() if place in both.effects
        },
        uses={slug: both.uses[place] for slug, place in places.items() if place in both.uses},
    )
