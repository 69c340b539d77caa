"""Computes the figures table: evaluates every registered figure for all bikes at once."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from generator.content.model import Content
from generator.figures import kinds
from generator.figures.chooser import grid as chooser_grid
from generator.figures.inputs.case import Case, InputUse
from generator.figures.inputs.levels import LEVEL_INPUTS as LEVEL_KINDS
from generator.figures.model import Figure, FigureBasis, FigureKind
from generator.figures.registry import REGISTRY, FigureDefinition, FigureVariant
from generator.figures.rides import own_rides, ride_grid_build
from generator.figures.rides.claim_rides import find_claim_rides
from generator.figures.show import round_value
from generator.figures.simulation.curves import Curves
from generator.figures.table import derivation
from generator.figures.table.assembly import assemble_table
from generator.figures.table.details import Details
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import ComputedBike, group_bikes, pause_gc, store_figures
from generator.figures.uncertainty import intervals
from generator.figures.uncertainty.what_if import find_effects
from generator.specs.bike import Bike

Array = NDArray[np.float64]

assert kinds  # importing it registers the figures


def tabulate(bikes: Sequence[Bike], content: Content) -> FiguresTable:
    """Compute every figure of every bike.

    A figure whose inputs are missing is left out, and `missing` says which. The chooser's grid and the tables behind
    "your ride" are computed when they are asked for.
    """
    found = [each for some in group_bikes(bikes) for each in compute_bikes(some, content)]
    details = {computed.slug: encoded for computed, encoded in found}
    return assemble_table(
        bikes,
        content,
        list_kinds(bikes, content),
        {computed.slug: computed for computed, _ in found},
        details.__getitem__,
    )


def compute_bikes(
    bikes: Sequence[Bike], content: Content, *, for_pages: bool = False
) -> list[tuple[ComputedBike, bytes]]:
    """Return everything that is computed for each of some bikes, and its encoded details.

    With `for_pages`, the chooser's cells and the tables behind "your ride", which every bike's pages ask for, are
    computed too.
    """
    if not bikes:
        return []
    with pause_gc():
        found: dict[str, dict[str, Figure]] = {bike.slug: {} for bike in bikes}
        missing: dict[str, dict[str, tuple[str, ...]]] = {bike.slug: {} for bike in bikes}
        case = Case(bikes, content)
        checks, scores = own_rides.update_scores(case)
        sketches = [
            _evaluate_figure(case, definition, variant, kind, found, missing, scores)
            for definition, variant, kind in _list_registered(case)
        ]
        workings = derivation.write_derivations(case, sketches, found)
        curves = Curves(case, found, scores).build_all()
        claims = find_claim_rides(case, found)
        moved = find_effects(case, found)
        del case, sketches  # many arrays, and those of the rides follow
        ride_grids = ride_grid_build.compute_ride_grids(bikes, content) if for_pages else {}
        chooser = chooser_grid.compute_grid(bikes, content) if for_pages else None
        return [
            (
                ComputedBike(
                    slug,
                    store_figures(figures),
                    missing[slug],
                    tuple(check for check in checks if check.bike == slug),
                    claims.get(slug),
                    moved.get(slug, {}),
                    workings[slug].first_uses(),
                    chooser.ranges[slug] if chooser else None,
                    chooser.grades[slug] if chooser else {},
                ),
                Details(workings[slug], curves[slug], for_pages, ride_grids.get(slug)).encode(),
            )
            for slug, figures in found.items()
        ]


def _list_registered(case: Case) -> Iterator[tuple[FigureDefinition, FigureVariant, FigureKind]]:
    for definition in REGISTRY.definitions:
        for variant in definition.each(case):
            yield definition, variant, definition.make_kind(variant, case)


def list_kinds(bikes: Sequence[Bike], content: Content) -> dict[str, FigureKind]:
    """Kinds of figures of these bikes, by id in the order of the registry; a figure of level 6 exists where some bike
    has six."""
    if not bikes:
        return {}
    return {kind.id: kind for _, _, kind in _list_registered(Case(bikes, content, spans=False))}


def _evaluate_figure(
    case: Case,
    definition: FigureDefinition,
    variant: FigureVariant,
    kind: FigureKind,
    found: dict[str, dict[str, Figure]],
    missing: dict[str, dict[str, tuple[str, ...]]],
    scores: dict[int, intervals.FactorScores],
) -> derivation.FigureEvaluation:
    with case.collect_uses() as used:
        values = definition.function(case, **dict(variant.values))
    uses = sorted(used)
    factors = sorted({case.find_factor(use) for use in uses})
    columns = [0] + [1 + 2 * place + side for place in factors for side in (0, 1)]
    values = np.broadcast_to(values, (len(case.bikes), case.columns))[:, columns]
    known = np.atleast_1d(np.isfinite(values).all(axis=1))
    safe = np.where(known[:, None], values, 1.0)
    fitted = intervals.fit_response(safe, logarithmic=definition.logarithmic)
    value, was_low, was_high = (
        np.clip(part, *definition.bounds) for part in intervals.compute_interval(safe, fitted)
    )
    updated = _compute_updates(safe, fitted, scores, factors, definition.bounds)
    shares = intervals.compute_shares(fitted)
    rows = find_rows(case, variant)
    bases = _find_bases(case, uses, rows, definition.stated)
    plain = zip(value.tolist(), was_low.tolist(), was_high.tolist(), strict=True)
    for index, (bike, numbers) in enumerate(zip(case.bikes, plain, strict=True)):
        if not known[index]:
            lacking = _list_missing_inputs(case, uses, index, rows)
            if lacking:
                missing[bike.slug][kind.id] = lacking
            continue
        found[bike.slug][kind.id] = _make_figure(
            replace(kind, unit=definition.unit_of(bike)) if definition.unit_of else kind,
            bike.slug,
            numbers,
            updated.get(index),
            bases[index],
            _fill_conditions(case, kind.conditions, index, rows),
        )
    parts = definition.parts(case, **dict(variant.values)) if definition.parts else {}
    return derivation.FigureEvaluation(kind.id, definition, uses, factors, shares, rows, parts)


def _compute_updates(
    values: Array,
    fitted: intervals.Response,
    scores: dict[int, intervals.FactorScores],
    factors: list[int],
    bounds: tuple[float, float],
) -> dict[int, tuple[float, ...]]:
    """Value, low and high after the update, by index of a bike with own rides; empty where no factor moves the figure."""
    places = sorted(scores)
    if not places or not factors:
        return {}
    mine = [scores[place].select_factors(factors) for place in places]
    stacked = intervals.FactorScores(
        np.array([each.mean for each in mine]), np.array([each.covariance for each in mine])
    )
    found = np.clip(
        intervals.compute_interval(values[places], fitted.select_bikes(places), stacked), *bounds
    )
    return dict(zip(places, map(tuple, found.T.tolist()), strict=True))


def _make_figure(
    kind: FigureKind,
    slug: str,
    plain: tuple[float, ...],
    updated: tuple[float, ...] | None,
    basis: FigureBasis,
    conditions: str,
) -> Figure:
    """Make a figure from value, low and high, without and, if there is one, with the update by own rides."""
    before = tuple(map(round_value, plain))
    value, low, high = tuple(map(round_value, updated)) if updated else before
    told = (before[0], before[1], before[2]) if high != before[2] else None
    return Figure(slug, kind, value, low, high, basis, conditions, before_rides=told)


def find_rows(case: Case, variant: FigureVariant) -> NDArray[np.intp] | None:
    """Rows whose level inputs a figure shows, by bike; None when it has no level."""
    if variant.level == "none":
        return None
    if variant.level == "full":
        return case.find_full_rows()
    if variant.level == "reference":
        return case.find_reference_rows()
    return case.find_numbered_rows(variant.level)


def _find_bases(
    case: Case, uses: list[InputUse], rows: NDArray[np.intp] | None, stated: bool
) -> list[FigureBasis]:
    """The weakest basis among the inputs, by bike: estimated when any is assumed."""
    weak = np.zeros(len(case.bikes), dtype=bool)
    good = np.full(len(case.bikes), bool(uses))
    for use in uses:
        assumed, measured = case.compute_once(_check_basis, use)
        if use[0] in LEVEL_KINDS:
            if rows is None:
                continue
            assumed, measured = (part[rows] & (rows >= 0) for part in (assumed, measured))
        weak |= assumed
        good &= measured
    if stated:
        return ["measured" if each else "claimed" for each in good]
    return ["estimated" if each else "computed" for each in weak]


def _check_basis(case: Case, use: InputUse) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Whether an input is assumed, and whether it is measured; by bike, or by row for a level's input.

    An assumption without a span, such as a named rider's mass, is a condition of the figure and does not count.
    """
    each = case.resolve_level_input(use[0]) if use[0] in LEVEL_KINDS else case.resolve_input(use)
    return (
        np.array([one.basis == "assumed" and one.low != one.high for one in each]),
        np.array([one.basis == "measured" for one in each]),
    )


def _list_missing_inputs(
    case: Case, uses: list[InputUse], index: int, rows: NDArray[np.intp] | None
) -> tuple[str, ...]:
    """Titles of the inputs that a bike's spec does not state and that cannot be assumed."""
    if rows is not None and rows[index] < 0:
        return ()
    return derivation.list_missing_titles(case, uses, index, rows)


def _fill_conditions(case: Case, template: str, index: int, rows: NDArray[np.intp] | None) -> str:
    if "{level_name}" not in template:
        return template
    name = derivation.find_level_name(case, int(rows[index]) if rows is not None else -1)
    return template.replace("{level_name}", name)
