"""Since when a bike stands in a running list, and when others left it: worked out from the records.

A day is the day of a record, never of a build: what happened between two records carries the day of the later one.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Literal

from generator.content.releases import Release


@dataclass(frozen=True)
class Event:
    """A bike that entered or left a list between two records that know the list."""

    slug: str
    what: Literal["entered", "left"]
    before: Release
    after: Release

    @property
    def day(self) -> date:
        return self.after.day


@dataclass(frozen=True)
class Since:
    """How long a member has been in its list."""

    day: date
    how: Literal["entered", "first record", "after the last record"]
    """It entered on the day; it was there on the day of the first record; it came after the last record, of that day."""


def knowing(releases: Sequence[Release], name: str) -> list[Release]:
    """The records that know a list, oldest first."""
    return [release for release in releases if name in release.lists]


def events(releases: Sequence[Release], name: str) -> list[Event]:
    """Who entered and who left a list, oldest first; what stood in the first record that knows the list is no event."""
    known = knowing(releases, name)
    found: list[Event] = []
    for old, new in pairwise(known):
        before, after = set(old.lists[name]), set(new.lists[name])
        found += [Event(slug, "entered", old, new) for slug in sorted(after - before)]
        found += [Event(slug, "left", old, new) for slug in sorted(before - after)]
    return found


def since(releases: Sequence[Release], name: str, members: Iterable[str]) -> dict[str, Since]:
    """Since when each of those that are members now has been one; empty where no record knows the list."""
    known = knowing(releases, name)
    if not known:
        return {}
    there = set(known[-1].lists[name])
    entered = {e.slug: e.day for e in events(releases, name) if e.what == "entered"}

    def of(slug: str) -> Since:
        if slug not in there:
            return Since(known[-1].day, "after the last record")
        if slug in entered:
            return Since(entered[slug], "entered")
        return Since(known[0].day, "first record")

    return {slug: of(slug) for slug in members}


def departures(
    releases: Sequence[Release], name: str, now: Release, members: Collection[str]
) -> list[tuple[Event, bool]]:
    """Who was a member once and is none now, latest first; True where it happened after the last record.

    `now` is the present table as a record.
    """
    known = knowing(releases, name)
    if not known:
        return []
    last: dict[str, tuple[Event, bool]] = {}
    for event in events(releases, name):
        if event.what == "left":
            last[event.slug] = event, False
    for slug in known[-1].lists[name]:
        last[slug] = Event(slug, "left", known[-1], now), True
    gone = [found for slug, found in last.items() if slug not in members]
    gone.sort(key=lambda found: found[0].slug)
    return sorted(gone, key=lambda found: (found[1], found[0].day), reverse=True)
