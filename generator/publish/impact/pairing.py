"""Which bike of one state is which of the other: by its file's name, else as a renamed one."""

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher

from generator.publish.impact.sides import State
from generator.specs.bike import Bike

ALIKE = 0.7
"""Share of equal lines from which a file of the same maker counts as renamed. [-]  Our choice."""


@dataclass(frozen=True)
class Pair:
    """One bike in both states; None where it is not."""

    before: Bike | None
    after: Bike | None

    @property
    def slug(self) -> str:
        """As it is now; as it was, for a bike that is gone."""
        bike = self.after or self.before
        assert bike
        return bike.slug


def unreadable(before: State, after: State) -> dict[str, str]:
    """Slugs with a file on both sides that cannot be read on one, and that side's name."""
    readable = {"before": set(before.data), "after": set(after.data)}
    return {
        slug: " and ".join(side for side, known in readable.items() if slug not in known)
        for slug in sorted(before.files & after.files)
        if any(slug not in known for known in readable.values())
    }


def pairs(before: State, after: State) -> list[Pair]:
    """Every readable bike of either state once, by slug; without those of `unreadable`."""
    lost = unreadable(before, after)
    old = {bike.slug: bike for bike in before.bikes if bike.slug not in lost}
    new = {bike.slug: bike for bike in after.bikes if bike.slug not in lost}
    found = [Pair(old[slug], new[slug]) for slug in old.keys() & new.keys()]
    gone = {slug: old[slug] for slug in sorted(old.keys() - after.files)}
    come = {slug: new[slug] for slug in sorted(new.keys() - before.files)}
    for was, now in _renamed(before, after, gone, come):
        found.append(Pair(gone.pop(was), come.pop(now)))
    found += [Pair(bike, None) for bike in gone.values()]
    found += [Pair(None, bike) for bike in come.values()]
    return sorted(found, key=lambda pair: pair.slug)


def _renamed(
    before: State, after: State, gone: dict[str, Bike], come: dict[str, Bike]
) -> Iterator[tuple[str, str]]:
    """Slugs of one bike before and after: the surest matches first, each slug once."""
    scores = []
    for was, old in gone.items():
        for now, new in come.items():
            score = _likeness(before, after, old, new)
            if score >= ALIKE:
                scores.append((-score, was, now))
    used: set[str] = set()
    for _, was, now in sorted(scores):
        if not {f"<{was}", f">{now}"} & used:
            used |= {f"<{was}", f">{now}"}
            yield was, now


def _likeness(before: State, after: State, old: Bike, new: Bike) -> float:
    """3 for the same data, 2 for the same maker and name, else the share of equal lines under one maker."""
    if before.data[old.slug] == after.data[new.slug]:
        return 3.0
    if old.maker.casefold() != new.maker.casefold():
        return 0.0
    if old.name.casefold() == new.name.casefold():
        return 2.0
    one, other = (
        (state.place.folder / bike.file).read_text("utf-8", "replace").splitlines()
        for state, bike in ((before, old), (after, new))
    )
    return SequenceMatcher(None, one, other, autojunk=False).ratio()
