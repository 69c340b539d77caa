"""Running lists worked out: which bikes fit the rule of a list, in its order, and what is wrong with the rule.

* rule_of    the rule of a list
* roll       one list: its members, and the bikes that cannot be judged
* faults     what is wrong with a list's front matter, and that nobody stands in it
* rolls      all lists
* members    slugs of the members of each
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from generator.content.model import Content, RunningList
from generator.figures.criteria.criteria import Criteria, Judgement, by_figure, read_criteria
from generator.figures.criteria.parser import nearest
from generator.figures.model import Kind
from generator.figures.table.figures_table import FiguresTable
from generator.specs.bike import Bike
from generator.specs.problems import Problem, Severity

Judge = Callable[[FiguresTable, RunningList, Criteria], Mapping[str, Judgement]]
"""Like `judged`."""


@dataclass(frozen=True)
class Standing:
    """A bike before a list's rule."""

    bike: Bike
    judgement: Judgement


@dataclass(frozen=True)
class Roll:
    """A list with its bikes."""

    running: RunningList
    criteria: Criteria
    members: tuple[Standing, ...]
    """In the list's order."""
    unknown: tuple[Standing, ...]
    """Bikes that cannot be judged, because something is not known."""

    @cached_property
    def slugs(self) -> tuple[str, ...]:
        return tuple(each.bike.slug for each in self.members)


def judged(table: FiguresTable, running: RunningList, criteria: Criteria) -> dict[str, Judgement]:
    """Every bike before the list's rule, by slug."""
    return {bike.slug: criteria.of(table, bike) for bike in table.bikes}


def rule_of(running: RunningList, kinds: Mapping[str, Kind]) -> Criteria | None:
    """The list's rule; None where it cannot be read, or its order, which `faults` tells."""
    criteria, _ = read_criteria(dict(running.where), kinds)
    return criteria if running.order_by in kinds else None


def roll(table: FiguresTable, running: RunningList, judge: Judge = judged) -> Roll | None:
    """The list's bikes; None where its rule cannot be read, which `faults` tells."""
    criteria = rule_of(running, table.kinds)
    if criteria is None:
        return None
    found = judge(table, running, criteria)
    standing = {bike.slug: Standing(bike, found[bike.slug]) for bike in table.bikes}
    fitting = [each.bike for each in standing.values() if each.judgement.holds]
    ordered = by_figure(table, fitting, running.order_by, not running.ascending)
    return Roll(
        running,
        criteria,
        tuple(standing[bike.slug] for bike in ordered),
        tuple(each for each in standing.values() if each.judgement.holds is None),
    )


def rolls(table: FiguresTable, content: Content, judge: Judge = judged) -> list[Roll]:
    """Every list whose rule can be read, in the order of the lists. `judge` may know some judgements already."""
    return [found for running in content.lists if (found := roll(table, running, judge))]


def members(lists: Iterable[Roll]) -> dict[str, tuple[str, ...]]:
    """Slugs of the members by the list's slug, each in the alphabet's order: as a record keeps them."""
    return {each.running.slug: tuple(sorted(each.slugs)) for each in lists}


def faults(running: RunningList, table: FiguresTable) -> Iterator[Problem]:
    """What is wrong with a list: errors in its rule, and a warning when nobody stands in it."""
    places = {name: place for name, *place in running.lines}

    def problem(name: str, what: str, mend: str, severity: Severity = "error") -> Problem:
        first = next((place for key, place in places.items() if key.startswith("where.")), [1, 1])
        line, column = places.get(name) or places.get(name.replace(".spec.", ".")) or first
        return Problem(running.file, line, column, what, mend, severity)

    criteria, wrong = read_criteria(dict(running.where), table.kinds)
    if criteria and table.bikes:
        for one in criteria.unheard(table.bikes):
            yield problem(f"where.{one.key}", one.what, one.mend, "warning")
    for one in wrong:
        yield problem(f"where.{one.key}", one.what, one.mend)
    named = [("order_by", running.order_by), *((f"show.{id}", id) for id in running.show)]
    for name, id in named:
        if id not in table.kinds and table.kinds:
            yield problem(name, f"there is no figure {id!r}", nearest(id, table.kinds))
    if wrong or not criteria or running.order_by not in table.kinds or not table.bikes:
        return
    if not any(criteria.of(table, bike).holds for bike in table.bikes):
        what = "no bike fits the rule of this list, so it stands empty"
        yield problem("", what, "Loosen the rule, or leave it so until a bike fits", "warning")
