"""One state of the publication, read: what can be read of it, and everything wrong with the rest."""

import os
from dataclasses import dataclass, field, replace
from pathlib import Path

from generator.content.model import Content
from generator.content.read import read_content
from generator.publish.impact.revisions import Place
from generator.publish.today import today
from generator.specs.bike import Bike
from generator.specs.checks.freshness import Rules, freshness
from generator.specs.problems import Problem
from generator.specs.read import Look, read_bikes
from generator.specs.yaml.located import Marked


@dataclass(frozen=True)
class State:
    """Before or after."""

    place: Place
    bikes: tuple[Bike, ...]
    content: Content | None
    problems: tuple[Problem, ...]
    files: frozenset[str]
    """Slugs that have a spec file, readable or not."""
    data: dict[str, Bike] = field(default_factory=dict, repr=False)
    """By slug, without what is no data: its file, its hash."""

    @property
    def label(self) -> str:
        return self.place.label


def read_state(place: Place, *, earlier: bool = False) -> State:
    """Read bikes and content. What is wrong becomes a problem, and the rest is still there.

    `earlier`: a state of the past, as `read_bikes` takes it.
    """
    content, more = read_content(place.folder)
    bikes, problems = read_bikes(place.folder, None, *_looks(content), earlier=earlier)
    return State(
        place,
        bikes,
        content,
        tuple(sorted({*problems, *more})),
        _files(place.folder),
        {bike.slug: data_of(bike) for bike in bikes},
    )


def _looks(content: Content | None) -> tuple[Look, ...]:
    """The check of dates, sources and currency that `vet` makes by the publication's settings; without its notes."""
    if content is None:
        return ()
    settings = content.settings
    rules = Rules(settings.stale_price_days, settings.stale_source_days, settings.currency)
    day = today(None, os.environ, settings.updated)

    def look(marked: Marked) -> list[Problem]:
        found = freshness(marked, rules, day)
        return [problem for problem in found if problem.severity != "note"]

    return (look,)


def data_of(bike: Bike) -> Bike:
    """The bike without what is no data: equal for two files that differ in comments, order or name only."""
    return replace(bike, slug="", file="", digest="")


def _files(folder: Path) -> frozenset[str]:
    return frozenset(path.stem for path in (folder / "bikes").glob("*.yaml"))
