"""Members of running lists: the bikes that fit the rule of a list, in its order, and the problems of a rule.

* read_list_rule          the criteria of a list
* find_list_members       one list: its members, and the bikes that cannot be judged
* check_list              problems of a list's front matter, and a warning for an empty list
* find_all_list_members   all lists
* list_member_slugs       slugs of the members of each list
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from generator.content.model import Content, RunningList
from generator.figures.criteria.criteria import Criteria, Judgement, read_criteria, sort_by_figure
from generator.figures.criteria.parser import suggest_name
from generator.figures.model import FigureKind
from generator.figures.table.figures_table import FiguresTable
from generator.specs.bike import Bike
from generator.specs.problems import Problem, Severity

ListJudge = Callable[[FiguresTable, RunningList, Criteria], Mapping[str, Judgement]]
"""Gives a judgement of every bike by slug, as `judge_bikes` does, perhaps from a cache."""


@dataclass(frozen=True)
class JudgedBike:
    """A bike with its judgement by a list's rule."""

    bike: Bike
    judgement: Judgement


@dataclass(frozen=True)
class ListMembers:
    """A running list with its members."""

    running: RunningList
    criteria: Criteria
    members: tuple[JudgedBike, ...]
    """Bikes that fit, in the list's order."""
    unknown: tuple[JudgedBike, ...]
    """Bikes that cannot be judged because a value is not known."""

    @cached_property
    def slugs(self) -> tuple[str, ...]:
        return tuple(each.bike.slug for each in self.members)


def judge_bikes(
    table: FiguresTable, running: RunningList, criteria: Criteria
) -> dict[str, Judgement]:
    """Judgement of every bike by the list's rule, by slug."""
    return {bike.slug: criteria.judge_bike(table, bike) for bike in table.bikes}


def read_list_rule(running: RunningList, kinds: Mapping[str, FigureKind]) -> Criteria | None:
    """The list's criteria; None if they or its order cannot be read, which `check_list` reports."""
    criteria, _ = read_criteria(dict(running.where), kinds)
    return criteria if running.order_by in kinds else None


def find_list_members(
    table: FiguresTable, running: RunningList, judge: ListJudge = judge_bikes
) -> ListMembers | None:
    """The list with its members; None if its rule cannot be read, which `check_list` reports."""
    criteria = read_list_rule(running, table.kinds)
    if criteria is None:
        return None
    found = judge(table, running, criteria)
    standing = {bike.slug: JudgedBike(bike, found[bike.slug]) for bike in table.bikes}
    fitting = [each.bike for each in standing.values() if each.judgement.holds]
    ordered = sort_by_figure(table, fitting, running.order_by, not running.ascending)
    return ListMembers(
        running,
        criteria,
        tuple(standing[bike.slug] for bike in ordered),
        tuple(each for each in standing.values() if each.judgement.holds is None),
    )


def find_all_list_members(
    table: FiguresTable, content: Content, judge: ListJudge = judge_bikes
) -> list[ListMembers]:
    """Every list whose rule can be read, in the order of the content. `judge` may have some judgements cached."""
    return [
        found for running in content.lists if (found := find_list_members(table, running, judge))
    ]


def list_member_slugs(lists: Iterable[ListMembers]) -> dict[str, tuple[str, ...]]:
    """Slugs of the members in alphabetical order, by the list's slug, as a record keeps them."""
    return {each.running.slug: tuple(sorted(each.slugs)) for each in lists}


def check_list(running: RunningList, table: FiguresTable) -> Iterator[Problem]:
    """Problems of a list: errors in its rule, and a warning if it has no members."""
    places = {name: place for name, *place in running.lines}

    def report(name: str, what: str, mend: str, severity: Severity = "error") -> Problem:
        first = next((place for key, place in places.items() if key.startswith("where.")), [1, 1])
        line, column = places.get(name) or places.get(name.replace(".spec.", ".")) or first
        return Problem(running.file, line, column, what, mend, severity)

    criteria, wrong = read_criteria(dict(running.where), table.kinds)
    if criteria and table.bikes:
        for one in criteria.find_unknown_makers(table.bikes):
            yield report(f"where.{one.key}", one.what, one.mend, "warning")
    for one in wrong:
        yield report(f"where.{one.key}", one.what, one.mend)
    named = [("order_by", running.order_by), *((f"show.{id}", id) for id in running.show)]
    for name, id in named:
        if id not in table.kinds and table.kinds:
            yield report(name, f"there is no figure {id!r}", suggest_name(id, table.kinds))
    if wrong or not criteria or running.order_by not in table.kinds or not table.bikes:
        return
    if not any(criteria.judge_bike(table, bike).holds for bike in table.bikes):
        what = "no bike fits the rule of this list, so it stands empty"
        yield report("", what, "Loosen the rule, or leave it so until a bike fits", "warning")
