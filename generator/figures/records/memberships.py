"""When bikes entered and left the running lists, according to the records.

A day is the day of a record, never of a build: a change between two records carries the day of the later one.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Literal

from generator.content.releases import Release


@dataclass(frozen=True)
class ListEvent:
    """A bike that entered or left a list between two records that know the list."""

    slug: str
    what: Literal["entered", "left"]
    before: Release
    after: Release

    @property
    def day(self) -> date:
        return self.after.day


@dataclass(frozen=True)
class MembershipStart:
    """How long a member has been in its list."""

    day: date
    how: Literal["entered", "first record", "after the last record"]
    """The bike entered on `day`; it was in the first record, of `day`; or it entered after the last record, of `day`."""


def select_records(releases: Sequence[Release], name: str) -> list[Release]:
    """The records that know a list, oldest first."""
    return [release for release in releases if name in release.lists]


def find_list_events(releases: Sequence[Release], name: str) -> list[ListEvent]:
    """Bikes that entered or left a list, oldest first; members in the first record that knows the list are no event."""
    known = select_records(releases, name)
    found: list[ListEvent] = []
    for old, new in pairwise(known):
        before, after = set(old.lists[name]), set(new.lists[name])
        found += [ListEvent(slug, "entered", old, new) for slug in sorted(after - before)]
        found += [ListEvent(slug, "left", old, new) for slug in sorted(before - after)]
    return found


def find_membership_starts(
    releases: Sequence[Release], name: str, members: Iterable[str]
) -> dict[str, MembershipStart]:
    """How long each present member has been in a list, by slug; empty where no record knows the list."""
    known = select_records(releases, name)
    if not known:
        return {}
    there = set(known[-1].lists[name])
    entered = {e.slug: e.day for e in find_list_events(releases, name) if e.what == "entered"}

    def find_start(slug: str) -> MembershipStart:
        if slug not in there:
            return MembershipStart(known[-1].day, "after the last record")
        if slug in entered:
            return MembershipStart(entered[slug], "entered")
        return MembershipStart(known[0].day, "first record")

    return {slug: find_start(slug) for slug in members}


def find_departures(
    releases: Sequence[Release], name: str, now: Release, members: Collection[str]
) -> list[tuple[ListEvent, bool]]:
    """Former members of a list, the latest to leave first; True where they left after the last record.

    `now` is the present table as a record.
    """
    known = select_records(releases, name)
    if not known:
        return []
    last: dict[str, tuple[ListEvent, bool]] = {}
    for event in find_list_events(releases, name):
        if event.what == "left":
            last[event.slug] = event, False
    for slug in known[-1].lists[name]:
        last[slug] = ListEvent(slug, "left", known[-1], now), True
    gone = [found for slug, found in last.items() if slug not in members]
    gone.sort(key=lambda found: found[0].slug)
    return sorted(gone, key=lambda found: (found[1], found[0].day), reverse=True)
