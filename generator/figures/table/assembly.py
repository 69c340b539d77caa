"""A figures table put together from what was computed for each bike."""

import functools
from collections.abc import Callable, Mapping, Sequence

from generator.content.model import Content
from generator.figures.chooser import grid as chooser_grid
from generator.figures.chooser.grid import ChooserGrid
from generator.figures.model import FigureKind
from generator.figures.table.details import KeepRows, StoredDetails, compute_rows
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import ComputedBike, restore_figures
from generator.specs.bike import Bike


def assemble_table(
    bikes: Sequence[Bike],
    content: Content,
    kinds: dict[str, FigureKind],
    computed: Mapping[str, ComputedBike],
    read_details: Callable[[str], bytes],
    keep_rows: KeepRows = compute_rows,
    fingerprints: Mapping[str, str] | None = None,
) -> FiguresTable:
    """Return the table of these bikes.

    Parameters
    ----------
    bikes : sequence of Bike
        In the order of the table.
    content : Content
    kinds : dict
        Kinds of figures that the whole catalogue has, by id.
    computed : mapping
        What was computed for each bike, by slug.
    read_details : callable
        Gives the encoded details of a bike by its slug; see `details`.
    keep_rows : callable
        May give rows of diagrams that an earlier build computed.
    fingerprints : mapping, optional
        Hash of everything that the figures of a bike depend on, by slug.
    """
    ordered = [computed[bike.slug] for bike in bikes]
    return FiguresTable(
        tuple(bikes),
        kinds,
        {each.slug: restore_figures(each.slug, each.figures, kinds) for each in ordered},
        {each.slug: each.missing for each in ordered},
        StoredDetails(bikes, content, read_details, keep_rows),
        tuple(ride for each in ordered for ride in each.rides),
        {each.slug: each.claim for each in ordered if each.claim},
        {each.slug: each.effects for each in ordered if each.effects},
        {each.slug: each.uses for each in ordered},
        _chooser_grid(tuple(bikes), content, ordered),
        fingerprints or {},
    )


def _chooser_grid(
    bikes: tuple[Bike, ...], content: Content, computed: Sequence[ComputedBike]
) -> Callable[[], ChooserGrid]:
    """Return what gives the chooser's grid: computed already, or when it is asked for."""
    if any(each.ranges is None for each in computed):
        return functools.cache(functools.partial(chooser_grid.compute_grid, bikes, content))
    grid = ChooserGrid(
        {each.slug: each.ranges or {} for each in computed},
        {each.slug: each.grades for each in computed},
    )
    return lambda: grid
