"""The chooser's tables, put together from spec files, figures and the grid of rides."""

import datetime
import math
from collections.abc import Callable, Mapping, Sequence
from functools import partial

from generator.content.model import Content
from generator.figures.chooser import grid as rides
from generator.figures.chooser.grid import Grid
from generator.figures.chooser.model import (
    CELL,
    ELSEWHERE,
    GRADE_CELL,
    Answers,
    Candidate,
    Chooser,
    Person,
    Region,
    Road,
)
from generator.figures.chooser.rule import LAW, LOADS, STEEP, TRIP, VERY_STEEP
from generator.figures.chooser.wishes import WISHES
from generator.figures.model import Figure
from generator.figures.table.figures_table import FiguresTable
from generator.law.judge import RULES, applies, judge
from generator.law.model import Rule
from generator.law.verdicts import inputs_of
from generator.specs.bike import Bike

BANDS = 3
"""Groups of bikes that the budgets of the tree part, about equal in number."""

GIVEN = tuple(
    dict.fromkeys(
        wish.figure for wish in WISHES if wish.id not in ("reach", "climb", "handy", "lift", "cost")
    )
)
"""Figures that the rule takes as published; the other wishes have a measure of their own."""


CandidateOf = Callable[[FiguresTable, Bike], Candidate]
"""Of a bike and a table that has it."""


def chooser(
    table: FiguresTable,
    content: Content,
    day: datetime.date | None,
    each: Callable[[CandidateOf], dict[str, Candidate]] | None = None,
) -> Chooser:
    """Everything that the rule needs. `day` is the one whose law holds; without it no law is asked.

    `each` puts every bike through what makes a candidate of it, by slug, and may know some already. Needs a rider and a
    route.
    """
    rules = {} if day is None else _rules(day)
    regions = tuple(
        Region(id, rules[rule].region, rule, ordinary)
        for id, rule, ordinary in LAW
        if rule in rules
    )
    people = tuple(
        Person(each.id, each.name, each.mass, each.power, each.summary)
        for each in rides.riders(content)
    )
    roads = tuple(
        Road(each.id, each.name, round(rides.steepest(each), 3)) for each in rides.routes(content)
    )
    currency = content.settings.currency
    grid = table.grid()
    candidate = partial(_candidate, content=content, grid=grid, regions=regions, rules=rules)
    bikes = (
        list(each(candidate).values()) if each else [candidate(table, bike) for bike in table.bikes]
    )
    bikes.sort(key=lambda bike: (bike.price is None, bike.price or 0.0, bike.name, bike.slug))
    usual = Answers(
        trip=str(TRIP),
        hills=content.route.id,
        load=LOADS[0].id,
        work=content.rider.id,
        law=_here(content.settings.region, regions),
    )
    return Chooser(
        bikes=tuple(bikes),
        people=people,
        roads=roads,
        loads={each.id: rides.load(each.id, content) for each in LOADS},
        whole=tuple(each.id for each in LOADS if each.whole),
        uses=tuple(sorted({use for bike in table.bikes for use in bike.uses})),
        regions=regions,
        currency=currency,
        bands=bands(table.bikes, currency),
        conditions=_conditions(people, roads, usual),
        usual=usual,
    )


def _rules(day: datetime.date) -> dict[str, Rule]:
    return {rule.id: rule for rule in RULES if applies(rule, day)}


def _here(region: str, regions: Sequence[Region]) -> str:
    """The publication's region among those that are known: whole, then by its first part."""
    known = {each.id for each in regions}
    whole = region.lower()
    first = whole.split("-")[0]
    return whole if whole in known else first if first in known else ELSEWHERE


def _conditions(
    people: Sequence[Person], roads: Sequence[Road], usual: Answers
) -> dict[str, tuple[str, tuple[str, ...]]]:
    """Which answers call for a wish; those of the tables that say so in words (`Wish.when`)."""
    weakest = [people[0].id] if people[0].id != usual.work else []
    strongest = [people[-1].id] if people[-1].id != usual.work else []
    return {
        "climb": ("hills", tuple(road.id for road in roads if road.grade >= STEEP)),
        "uphill": ("hills", tuple(road.id for road in roads if road.grade >= VERY_STEEP)),
        "ease": ("work", tuple(weakest)),
        "gears": ("work", tuple(strongest)),
        "follow": ("feel", ("follow",)),
        "steady": ("feel", ("push",)),
        "start": ("feel", ("quick",)),
        "handy": ("stairs", ("no",)),
        "lift": ("stairs", ("some", "daily")),
        "cost": ("budget", ("*",)),
    }


def bands(bikes: Sequence[Bike], currency: str) -> tuple[int, ...]:
    """Quantiles of the prices in the currency of what is still offered, rounded up to two significant digits."""
    ordered = sorted(
        bike.price.amount
        for bike in bikes
        if bike.price
        and bike.price.amount
        and bike.price.currency == currency
        and bike.status != "withdrawn"
    )
    found = set()
    for part in range(1, BANDS) if ordered else ():
        price = ordered[math.ceil(len(ordered) * part / BANDS) - 1]
        step = 10.0 ** max(math.floor(math.log10(price)) - 1, 0)
        found.add(int(math.ceil(price / step) * step))
    return tuple(sorted(found))


def _candidate(
    table: FiguresTable,
    bike: Bike,
    content: Content,
    grid: Grid,
    regions: Sequence[Region],
    rules: Mapping[str, Rule],
) -> Candidate:
    own = bike.price is not None and bike.price.currency == content.settings.currency
    rated = [load.value for _, load in bike.cargo]
    mass = table.get(bike.slug, "spec.mass")
    permitted = table.get(bike.slug, "spec.permitted_mass")
    inputs = inputs_of(bike)
    figures = {id: table.get(bike.slug, id) for id in GIVEN}
    ranges, spans = _ranges(table, bike.slug, content, grid)
    grades, span = _grades(table, bike.slug, content, grid)
    return Candidate(
        slug=bike.slug,
        name=bike.full_name,
        status=bike.status,
        uses=bike.uses,
        price=bike.price.amount if bike.price and own else None,
        currency=bike.price.currency if bike.price and not own else "",
        mass=_short(mass.value) if mass else None,
        permitted=_short(permitted.value) if permitted else None,
        place=_short(max(rated)) if rated else None,
        places=_short(sum(rated)) if rated else None,
        law={each.id: judge(rules[each.rule], inputs).category for each in regions},
        ranges=ranges,
        grades=grades,
        range_spans=spans,
        grade_span=span,
        figures={
            id: (_short(each.value, 3), _short(each.low, 3), _short(each.high, 3))
            for id, each in figures.items()
            if each
        },
    )


def _ranges(
    table: FiguresTable, slug: str, content: Content, grid: Grid
) -> tuple[dict[tuple[str, str, str], int], dict[str, tuple[float, float]]]:
    """The grid's ranges, scaled to the published figure of each route, and that figure's interval."""
    cells: dict[tuple[str, str, str], int] = {}
    spans: dict[str, tuple[float, float]] = {}
    rider = content.rider.id
    nominal = grid.ranges.get(slug, {})
    for route in rides.routes(content):
        published = table.get(slug, f"range.{route.id}")
        usual = nominal.get((rider, route.id, LOADS[0].id))
        if published is None or published.value <= 0.0 or not usual:
            continue
        spans[route.id] = _span(published)
        for cell, value in nominal.items():
            if cell[1] == route.id:
                cells[cell] = round(value * published.value / usual / CELL)
    return cells, spans


def _grades(
    table: FiguresTable, slug: str, content: Content, grid: Grid
) -> tuple[dict[tuple[str, str], int], tuple[float, float]]:
    published = table.get(slug, "hills.steepest")
    nominal = grid.grades.get(slug, {})
    usual = nominal.get((content.rider.id, "", LOADS[0].id))
    if published is None or published.value <= 0.0 or not usual:
        return {}, (1.0, 1.0)
    return (
        {
            (rider, load): max(round(value * published.value / usual / GRADE_CELL), 0)
            for (rider, _, load), value in nominal.items()
        },
        _span(published),
    )


def _span(figure: Figure) -> tuple[float, float]:
    return round(figure.low / figure.value, 3), round(figure.high / figure.value, 3)


def _short(value: float, digits: int = 4) -> float:
    """So many significant digits, which a data file carries exactly."""
    return float(f"{value:.{digits}g}")
