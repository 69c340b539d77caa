"""Bikes in, figures table out: evaluate every registered figure for all bikes at once."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from generator.content.model import Content
from generator.figures import kinds
from generator.figures.inputs.case import Case, Use
from generator.figures.inputs.levels import KINDS as LEVEL_KINDS
from generator.figures.model import Figure, FigureBasis, Kind
from generator.figures.registry import REGISTRY, Definition, Variant
from generator.figures.rides import own_rides, ride_grid_build
from generator.figures.rides.claim_rides import claim_rides
from generator.figures.show import rounded
from generator.figures.simulation.curves import Curves
from generator.figures.table import derivation
from generator.figures.table.assembly import Assembly
from generator.figures.table.details import Background
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import Part, entries_of, groups, unsearched
from generator.figures.uncertainty import intervals
from generator.figures.uncertainty.what_if import effects
from generator.specs.bike import Bike

Array = NDArray[np.float64]

assert kinds  # importing it registers the figures


def tabulate(bikes: Sequence[Bike], content: Content, *, pages: bool = False) -> FiguresTable:
    """Compute every figure of every bike.

    A figure whose inputs are missing is left out, and `missing` says which. With `pages`, what the pages of every bike
    ask for beside the figures is worked out at once; else each when it is asked for.
    """
    assembly = Assembly(bikes, content, kinds_of(bikes, content))
    for some in groups(bikes):
        assembly.add(part(some, content, pages))
    return assembly.table()


@unsearched()
def part(bikes: Sequence[Bike], content: Content, pages: bool = False) -> Part:
    """All figures of some bikes, worked out at once."""
    found: dict[str, dict[str, Figure]] = {bike.slug: {} for bike in bikes}
    missing: dict[str, dict[str, tuple[str, ...]]] = {bike.slug: {} for bike in bikes}
    if not bikes:
        return Part({}, missing)
    case = Case(bikes, content)
    checks, scores = own_rides.learn(case)
    sketches = [
        _evaluate(case, definition, variant, kind, found, missing, scores)
        for definition, variant, kind in _registered(case)
    ]
    workings = derivation.explain(case, sketches, found)
    curves = Curves(case, found, scores).all()
    claims = claim_rides(case, found)
    moved = effects(case, found)
    del case, sketches  # many arrays, and those of the rides follow
    ridden = ride_grid_build.grids(bikes, content) if pages else {}
    behind = {
        slug: Background(workings[slug], curves[slug], pages, ridden.get(slug)).packed()
        for slug in found
    }
    return Part(
        {slug: entries_of(figures) for slug, figures in found.items()},
        missing,
        tuple(checks),
        claims,
        moved,
        {slug: each.first_uses() for slug, each in workings.items()},
        behind,
    )


def _registered(case: Case) -> Iterator[tuple[Definition, Variant, Kind]]:
    for definition in REGISTRY.definitions:
        for variant in definition.each(case):
            yield definition, variant, definition.kind(variant, case)


def kinds_of(bikes: Sequence[Bike], content: Content) -> dict[str, Kind]:
    """The kinds that these bikes alone would have, in the order of the registry; a figure of level 6 exists where some
    bike has six."""
    if not bikes:
        return {}
    return {kind.id: kind for _, _, kind in _registered(Case(bikes, content, spans=False))}


def _evaluate(
    case: Case,
    definition: Definition,
    variant: Variant,
    kind: Kind,
    found: dict[str, dict[str, Figure]],
    missing: dict[str, dict[str, tuple[str, ...]]],
    scores: dict[int, intervals.Scores],
) -> derivation.Sketch:
    with case.recording() as used:
        values = definition.function(case, **dict(variant.values))
    uses = sorted(used)
    factors = sorted({case.factor_of(use) for use in uses})
    columns = [0] + [1 + 2 * place + side for place in factors for side in (0, 1)]
    values = np.broadcast_to(values, (len(case.bikes), case.columns))[:, columns]
    known = np.atleast_1d(np.isfinite(values).all(axis=1))
    safe = np.where(known[:, None], values, 1.0)
    fitted = intervals.response(safe, logarithmic=definition.logarithmic)
    value, was_low, was_high = (
        np.clip(part, *definition.bounds) for part in intervals.interval(safe, fitted)
    )
    updated = _updated(safe, fitted, scores, factors, definition.bounds)
    shares = intervals.shares(fitted)
    rows = rows_of(case, variant)
    bases = _bases(case, uses, rows, definition.stated)
    plain = zip(value.tolist(), was_low.tolist(), was_high.tolist(), strict=True)
    for index, (bike, numbers) in enumerate(zip(case.bikes, plain, strict=True)):
        if not known[index]:
            lacking = _lacking(case, uses, index, rows)
            if lacking:
                missing[bike.slug][kind.id] = lacking
            continue
        found[bike.slug][kind.id] = _figure(
            replace(kind, unit=definition.unit_of(bike)) if definition.unit_of else kind,
            bike.slug,
            numbers,
            updated.get(index),
            bases[index],
            _conditions(case, kind.conditions, index, rows),
        )
    parts = definition.parts(case, **dict(variant.values)) if definition.parts else {}
    return derivation.Sketch(kind.id, definition, uses, factors, shares, rows, parts)


def _updated(
    values: Array,
    fitted: intervals.Response,
    scores: dict[int, intervals.Scores],
    factors: list[int],
    bounds: tuple[float, float],
) -> dict[int, tuple[float, ...]]:
    """Value, low and high of the bikes that have rides of their own, by place; none where no factor moves the figure."""
    places = sorted(scores)
    if not places or not factors:
        return {}
    mine = [scores[place].of(factors) for place in places]
    stacked = intervals.Scores(
        np.array([each.mean for each in mine]), np.array([each.covariance for each in mine])
    )
    found = np.clip(intervals.interval(values[places], fitted.of(places), stacked), *bounds)
    return dict(zip(places, map(tuple, found.T.tolist()), strict=True))


def _figure(
    kind: Kind,
    slug: str,
    plain: tuple[float, ...],
    updated: tuple[float, ...] | None,
    basis: FigureBasis,
    conditions: str,
) -> Figure:
    """A figure of value, low and high, without and with the update by own rides if there are any."""
    before = tuple(map(rounded, plain))
    value, low, high = tuple(map(rounded, updated)) if updated else before
    told = (before[0], before[1], before[2]) if high != before[2] else None
    return Figure(slug, kind, value, low, high, basis, conditions, before_rides=told)


def rows_of(case: Case, variant: Variant) -> NDArray[np.intp] | None:
    """Rows whose level inputs a figure shows, by bike; None when it has no level."""
    if variant.level == "none":
        return None
    if variant.level == "full":
        return case.full_rows()
    if variant.level == "reference":
        return case.reference_rows()
    return case.numbered_rows(variant.level)


def _bases(
    case: Case, uses: list[Use], rows: NDArray[np.intp] | None, stated: bool
) -> list[FigureBasis]:
    """The weakest basis among the inputs, by bike: estimated when any is assumed."""
    weak = np.zeros(len(case.bikes), dtype=bool)
    good = np.full(len(case.bikes), bool(uses))
    for use in uses:
        assumed, measured = case.shared(_footing, use)
        if use[0] in LEVEL_KINDS:
            if rows is None:
                continue
            assumed, measured = (part[rows] & (rows >= 0) for part in (assumed, measured))
        weak |= assumed
        good &= measured
    if stated:
        return ["measured" if each else "claimed" for each in good]
    return ["estimated" if each else "computed" for each in weak]


def _footing(case: Case, use: Use) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Is an input assumed, and is it measured; by bike, or by row for that of a level.

    Assumed without a span is a condition of the figure, such as a named rider's mass; nothing leans on it.
    """
    each = case.resolved_levels(use[0]) if use[0] in LEVEL_KINDS else case.resolved(use)
    return (
        np.array([one.basis == "assumed" and one.low != one.high for one in each]),
        np.array([one.basis == "measured" for one in each]),
    )


def _lacking(
    case: Case, uses: list[Use], index: int, rows: NDArray[np.intp] | None
) -> tuple[str, ...]:
    """Titles of the inputs that this bike's spec does not state and nobody can assume."""
    if rows is not None and rows[index] < 0:
        return ()
    return derivation.missing_titles(case, uses, index, rows)


def _conditions(case: Case, template: str, index: int, rows: NDArray[np.intp] | None) -> str:
    if "{level_name}" not in template:
        return template
    name = derivation.level_name(case, int(rows[index]) if rows is not None else -1)
    return template.replace("{level_name}", name)
