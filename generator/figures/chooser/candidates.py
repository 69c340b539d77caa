"""The chooser's data, from spec files, figures and the grid of rides.

* build_chooser      everything that a ranking needs
* find_price_bands   the budgets on offer
"""

import datetime
import math
from collections.abc import Callable, Mapping, Sequence
from functools import partial

from generator.content.model import Content
from generator.figures import show
from generator.figures.chooser import grid as rides
from generator.figures.chooser.grid import ChooserGrid
from generator.figures.chooser.model import (
    ELSEWHERE,
    GRADE_STEP,
    RANGE_STEP,
    Candidate,
    Chooser,
    ChooserAnswers,
    LawRegion,
    RiderChoice,
    RouteChoice,
)
from generator.figures.chooser.rule import LAW, LOADS, STEEP, TRIP, VERY_STEEP
from generator.figures.chooser.wishes import WISHES
from generator.figures.model import Figure
from generator.figures.table.figures_table import FiguresTable
from generator.law.judge import RULES, apply_rule, is_in_force
from generator.law.model import LegalRule
from generator.law.verdicts import read_legal_inputs
from generator.specs.bike import Bike

PRICE_GROUPS = 3
"""Number of groups, about equal in size, that the budgets divide the bikes into."""

PUBLISHED_FIGURES = tuple(
    dict.fromkeys(
        wish.figure for wish in WISHES if wish.id not in ("reach", "climb", "handy", "lift", "cost")
    )
)
"""Ids of figures that are the measure of a wish as published; other wishes compute theirs."""


CandidateMaker = Callable[[FiguresTable, Bike], Candidate]
"""From a table and one of its bikes to that bike as a candidate."""


def build_chooser(
    table: FiguresTable,
    content: Content,
    day: datetime.date | None,
    each: Callable[[CandidateMaker], dict[str, Candidate]] | None = None,
) -> Chooser:
    """The data of a ranking. The law is that of `day`; without a day the law is left out.

    `each` applies a function to every bike and gives the results by slug, some of them perhaps from a cache. The content
    must have a rider and a route.
    """
    rules = {} if day is None else _select_rules(day)
    regions = tuple(
        LawRegion(id, rules[rule].region, rule, ordinary)
        for id, rule, ordinary in LAW
        if rule in rules
    )
    riders = tuple(
        RiderChoice(each.id, each.name, each.mass, each.power, each.summary)
        for each in rides.select_riders(content)
    )
    routes = tuple(
        RouteChoice(each.id, each.name, round(rides.find_steepest_grade(each), 3))
        for each in rides.select_routes(content)
    )
    currency = content.settings.currency
    grid = table.grid()
    candidate = partial(_build_candidate, content=content, grid=grid, regions=regions, rules=rules)
    bikes = (
        list(each(candidate).values()) if each else [candidate(table, bike) for bike in table.bikes]
    )
    bikes.sort(key=lambda bike: (bike.price is None, bike.price or 0.0, bike.name, bike.slug))
    usual = ChooserAnswers(
        trip=str(TRIP),
        hills=content.route.id,
        load=LOADS[0].id,
        work=content.rider.id,
        law=_find_region(content.settings.region, regions),
    )
    return Chooser(
        bikes=tuple(bikes),
        riders=riders,
        routes=routes,
        loads={each.id: rides.find_load_mass(each.id, content) for each in LOADS},
        whole=tuple(each.id for each in LOADS if each.whole),
        uses=tuple(sorted({use for bike in table.bikes for use in bike.uses})),
        regions=regions,
        currency=currency,
        bands=find_price_bands(table.bikes, currency),
        conditions=_list_conditions(riders, routes, usual),
        usual=usual,
    )


def _select_rules(day: datetime.date) -> dict[str, LegalRule]:
    return {rule.id: rule for rule in RULES if is_in_force(rule, day)}


def _find_region(region: str, regions: Sequence[LawRegion]) -> str:
    """Id of the publication's region among `regions`, or of the country that it is part of; else `ELSEWHERE`."""
    known = {each.id for each in regions}
    whole = region.lower()
    first = whole.split("-")[0]
    return whole if whole in known else first if first in known else ELSEWHERE


def _list_conditions(
    riders: Sequence[RiderChoice], routes: Sequence[RouteChoice], usual: ChooserAnswers
) -> dict[str, tuple[str, tuple[str, ...]]]:
    """Question and answers that call for each wish, as `Wish.when` says in words."""
    weakest = [riders[0].id] if riders[0].id != usual.work else []
    strongest = [riders[-1].id] if riders[-1].id != usual.work else []
    return {
        "climb": ("hills", tuple(road.id for road in routes if road.grade >= STEEP)),
        "uphill": ("hills", tuple(road.id for road in routes if road.grade >= VERY_STEEP)),
        "ease": ("work", tuple(weakest)),
        "gears": ("work", tuple(strongest)),
        "follow": ("feel", ("follow",)),
        "steady": ("feel", ("push",)),
        "start": ("feel", ("quick",)),
        "handy": ("stairs", ("no",)),
        "lift": ("stairs", ("some", "daily")),
        "cost": ("budget", ("*",)),
    }


def find_price_bands(bikes: Sequence[Bike], currency: str) -> tuple[int, ...]:
    """Quantiles of the prices in `currency` of bikes still on sale, rounded up to two significant digits."""
    ordered = sorted(
        bike.price.amount
        for bike in bikes
        if bike.price
        and bike.price.amount
        and bike.price.currency == currency
        and bike.status != "withdrawn"
    )
    found = set()
    for part in range(1, PRICE_GROUPS) if ordered else ():
        price = ordered[math.ceil(len(ordered) * part / PRICE_GROUPS) - 1]
        step = 10.0 ** max(math.floor(math.log10(price)) - 1, 0)
        found.add(int(math.ceil(price / step) * step))
    return tuple(sorted(found))


def _build_candidate(
    table: FiguresTable,
    bike: Bike,
    content: Content,
    grid: ChooserGrid,
    regions: Sequence[LawRegion],
    rules: Mapping[str, LegalRule],
) -> Candidate:
    own = bike.price is not None and bike.price.currency == content.settings.currency
    rated = [load.value for _, load in bike.cargo]
    mass = table.get(bike.slug, "spec.mass")
    permitted = table.get(bike.slug, "spec.permitted_mass")
    inputs = read_legal_inputs(bike)
    figures = {id: table.get(bike.slug, id) for id in PUBLISHED_FIGURES}
    ranges, spans = _scale_ranges(table, bike.slug, content, grid)
    grades, span = _scale_grades(table, bike.slug, content, grid)
    return Candidate(
        slug=bike.slug,
        name=bike.full_name,
        status=bike.status,
        uses=bike.uses,
        price=bike.price.amount if bike.price and own else None,
        currency=bike.price.currency if bike.price and not own else "",
        mass=show.round_value(mass.value, 4) if mass else None,
        permitted=show.round_value(permitted.value, 4) if permitted else None,
        best_place_load=show.round_value(max(rated), 4) if rated else None,
        all_places_load=show.round_value(sum(rated), 4) if rated else None,
        law={each.id: apply_rule(rules[each.rule], inputs).category for each in regions},
        ranges=ranges,
        grades=grades,
        range_spans=spans,
        grade_span=span,
        figures={
            id: (
                show.round_value(each.value, 3),
                show.round_value(each.low, 3),
                show.round_value(each.high, 3),
            )
            for id, each in figures.items()
            if each
        },
    )


def _scale_ranges(
    table: FiguresTable, slug: str, content: Content, grid: ChooserGrid
) -> tuple[dict[tuple[str, str, str], int], dict[str, tuple[float, float]]]:
    """A bike's ranges [CELL], scaled to the published figure of each route, and that figure's relative interval [-]."""
    cells: dict[tuple[str, str, str], int] = {}
    spans: dict[str, tuple[float, float]] = {}
    rider = content.rider.id
    nominal = grid.ranges.get(slug, {})
    for route in rides.select_routes(content):
        published = table.get(slug, f"range.{route.id}")
        usual = nominal.get((rider, route.id, LOADS[0].id))
        if published is None or published.value <= 0.0 or not usual:
            continue
        spans[route.id] = _relative_interval(published)
        for cell, value in nominal.items():
            if cell[1] == route.id:
                cells[cell] = round(value * published.value / usual / RANGE_STEP)
    return cells, spans


def _scale_grades(
    table: FiguresTable, slug: str, content: Content, grid: ChooserGrid
) -> tuple[dict[tuple[str, str], int], tuple[float, float]]:
    published = table.get(slug, "hills.steepest")
    nominal = grid.grades.get(slug, {})
    usual = nominal.get((content.rider.id, "", LOADS[0].id))
    if published is None or published.value <= 0.0 or not usual:
        return {}, (1.0, 1.0)
    return (
        {
            (rider, load): max(round(value * published.value / usual / GRADE_STEP), 0)
            for (rider, _, load), value in nominal.items()
        },
        _relative_interval(published),
    )


def _relative_interval(figure: Figure) -> tuple[float, float]:
    return round(figure.low / figure.value, 3), round(figure.high / figure.value, 3)
