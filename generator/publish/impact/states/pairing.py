"""Matches the bikes of two states: by file name, and renamed bikes by their likeness."""

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher

from generator.publish.impact.states.sides import PublicationState
from generator.specs.bike import Bike

LEAST_LIKENESS = 0.7
"""Least share of equal lines for which a file of the same maker counts as renamed. [-]  Our choice."""


@dataclass(frozen=True)
class BikeVersions:
    """One bike in both states; None on the side that lacks it."""

    before: Bike | None
    after: Bike | None

    @property
    def slug(self) -> str:
        """The later slug; the earlier one for a removed bike."""
        bike = self.after or self.before
        assert bike
        return bike.slug


def find_unreadable(before: PublicationState, after: PublicationState) -> dict[str, str]:
    """Slugs with a file on both sides that cannot be read on at least one, mapped to the name of that side."""
    readable = {"before": set(before.data), "after": set(after.data)}
    return {
        slug: " and ".join(side for side, known in readable.items() if slug not in known)
        for slug in sorted(before.files & after.files)
        if any(slug not in known for known in readable.values())
    }


def pair_bikes(before: PublicationState, after: PublicationState) -> list[BikeVersions]:
    """Every readable bike of either state once, sorted by slug, without those that `find_unreadable` names."""
    unreadable_slugs = find_unreadable(before, after)
    old = {bike.slug: bike for bike in before.bikes if bike.slug not in unreadable_slugs}
    new = {bike.slug: bike for bike in after.bikes if bike.slug not in unreadable_slugs}
    found = [BikeVersions(old[slug], new[slug]) for slug in old.keys() & new.keys()]
    gone = {slug: old[slug] for slug in sorted(old.keys() - after.files)}
    come = {slug: new[slug] for slug in sorted(new.keys() - before.files)}
    for was, now in _match_renamed(before, after, gone, come):
        found.append(BikeVersions(gone.pop(was), come.pop(now)))
    found += [BikeVersions(bike, None) for bike in gone.values()]
    found += [BikeVersions(None, bike) for bike in come.values()]
    return sorted(found, key=lambda pair: pair.slug)


def _match_renamed(
    before: PublicationState, after: PublicationState, gone: dict[str, Bike], come: dict[str, Bike]
) -> Iterator[tuple[str, str]]:
    """Earlier and later slugs of renamed bikes: the surest matches first, each slug once."""
    scores = []
    for was, old in gone.items():
        for now, new in come.items():
            score = _score_likeness(before, after, old, new)
            if score >= LEAST_LIKENESS:
                scores.append((-score, was, now))
    used: set[str] = set()
    for _, was, now in sorted(scores):
        if not {f"<{was}", f">{now}"} & used:
            used |= {f"<{was}", f">{now}"}
            yield was, now


def _score_likeness(
    before: PublicationState, after: PublicationState, old: Bike, new: Bike
) -> float:
    """3 for equal data, 2 for the same maker and name, 0 for different makers, else the share of equal lines."""
    if before.data[old.slug] == after.data[new.slug]:
        return 3.0
    if old.maker.casefold() != new.maker.casefold():
        return 0.0
    if old.name.casefold() == new.name.casefold():
        return 2.0
    one, other = (
        (state.location.folder / bike.file).read_text("utf-8", "replace").splitlines()
        for state, bike in ((before, old), (after, new))
    )
    return SequenceMatcher(None, one, other, autojunk=False).ratio()
