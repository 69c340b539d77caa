"""Reads one state of the publication: all that is readable, and the problems with the rest."""

import os
from dataclasses import dataclass, field, replace
from pathlib import Path

from generator.content.model import Content
from generator.content.read import read_content
from generator.publish.impact.states.revisions import StateFolder
from generator.publish.today import choose_day
from generator.specs.bike import Bike
from generator.specs.checks.freshness import FreshnessRules, check_freshness
from generator.specs.problems import Problem
from generator.specs.read import SpecCheck, read_bikes
from generator.specs.yaml.located import LocatedMapping


@dataclass(frozen=True)
class PublicationState:
    """The publication before or after the change."""

    location: StateFolder
    bikes: tuple[Bike, ...]
    content: Content | None
    problems: tuple[Problem, ...]
    files: frozenset[str]
    """Slugs of all spec files, readable or not."""
    data: dict[str, Bike] = field(default_factory=dict, repr=False)
    """Readable bikes by slug, each without slug, file and hash, for comparing data alone."""

    @property
    def label(self) -> str:
        return self.location.label


def read_state(location: StateFolder, *, earlier: bool = False) -> PublicationState:
    """Read bikes and content. Whatever is wrong becomes a problem; the rest is kept.

    `earlier` marks a past state; see `read_bikes`.
    """
    content, more = read_content(location.folder)
    bikes, problems = read_bikes(location.folder, None, *_make_checks(content), earlier=earlier)
    return PublicationState(
        location,
        bikes,
        content,
        tuple(sorted({*problems, *more})),
        _list_slugs(location.folder),
        {bike.slug: strip_identity(bike) for bike in bikes},
    )


def _make_checks(content: Content | None) -> tuple[SpecCheck, ...]:
    """The check of dates, sources and currency that `vet` makes, without its notes; none if the content has errors."""
    if content is None:
        return ()
    settings = content.settings
    rules = FreshnessRules(settings.stale_price_days, settings.stale_source_days, settings.currency)
    day = choose_day(None, os.environ, settings.updated)

    def look(marked: LocatedMapping) -> list[Problem]:
        found = check_freshness(marked, rules, day)
        return [problem for problem in found if problem.severity != "note"]

    return (look,)


def strip_identity(bike: Bike) -> Bike:
    """The bike without slug, file and hash: equal for files that differ only in name, comments or order."""
    return replace(bike, slug="", file="", digest="")


def _list_slugs(folder: Path) -> frozenset[str]:
    """Slugs of all spec files in `folder/bikes`."""
    return frozenset(path.stem for path in (folder / "bikes").glob("*.yaml"))
