"""Finds the figures that changed, and describes each change."""

import math
from collections.abc import Iterator, Sequence

from generator.figures import show
from generator.figures.model import Figure
from generator.figures.table.figures_table import FiguresTable
from generator.publish.impact.changes.leaves import find_changed_parts
from generator.publish.impact.changes.tables import ComparedTables
from generator.publish.impact.changes.why import (
    Causes,
    ContentCause,
    FigureState,
    explain_move,
    figures_differ,
)
from generator.publish.impact.model import INTERVAL_MARK, FigureMove, KeyChange
from generator.publish.impact.states.pairing import BikeVersions
from generator.specs.bike import Bike


def compare_figures(
    pairs: Sequence[BikeVersions],
    tables: ComparedTables,
    keys: dict[str, tuple[KeyChange, ...]],
    content: Sequence[ContentCause],
    system: show.UnitSystem,
) -> tuple[FigureMove, ...]:
    """Changed figures of every bike that is in both states, by bike, then in the order of the registry.

    `keys` are the changed keys of each bike's spec file by slug, `content` the changes of content that may be causes.
    """
    order = {
        id: place for place, id in enumerate((tables.after.kinds | tables.before.kinds).keys())
    }
    moved: list[FigureMove] = []
    for pair in pairs:
        if pair.before and pair.after:
            causes = Causes(
                find_changed_parts(pair.before, pair.after),
                keys.get(pair.slug, ()),
                tables.trials.get(pair.slug, ()),
                content,
            )
            mine = _compare_bike(pair.before, pair.after, tables, causes, system)
            moved += sorted(mine, key=lambda move: order.get(move.figure, len(order)))
    return tuple(moved)


def _compare_bike(
    before: Bike, after: Bike, tables: ComparedTables, causes: Causes, system: show.UnitSystem
) -> Iterator[FigureMove]:
    """Changed figures of one bike."""
    old, new = tables.before.figures_of(before.slug), tables.after.figures_of(after.slug)
    for id in {**old, **new}:
        if figures_differ(old.get(id), new.get(id)):
            sides = (
                _read_figure_state(tables.before, old.get(id)),
                _read_figure_state(tables.after, new.get(id)),
            )
            yield _build_move(after, *sides, causes, system)


def _read_figure_state(table: FiguresTable, figure: Figure | None) -> FigureState:
    """A figure with the inputs that it used."""
    if figure is None:
        return FigureState(None)
    return FigureState(figure, tuple(each.given for each in table.working(figure).inputs))


def _build_move(
    bike: Bike, before: FigureState, after: FigureState, causes: Causes, system: show.UnitSystem
) -> FigureMove:
    """The change of one figure; ratios only where both states have it in the same unit."""
    old, new = before.figure, after.figure
    figure = new or old
    assert figure
    comparable = old is not None and new is not None and old.kind.unit.si == new.kind.unit.si
    return FigureMove(
        bike=bike.slug,
        name=bike.full_name,
        figure=figure.id,
        title=figure.kind.title,
        headline=figure.kind.headline,
        unit=figure.kind.unit.si,
        old=_extract_numbers(old),
        new=_extract_numbers(new),
        old_text=format_figure(old, system),
        new_text=format_figure(new, system),
        change=_compute_change(old, new) if comparable else None,
        old_basis=old.basis if old else "",
        new_basis=new.basis if new else "",
        width=_compute_width_ratio(old, new) if comparable else None,
        why=explain_move(before, after, causes),
    )


def format_figure(figure: Figure | None, system: show.UnitSystem) -> str:
    """Such as `44 km, likely 36–52`; empty if there is no figure."""
    if figure is None:
        return ""
    span = show.format_interval(figure, system)
    return show.format_figure(figure, system) + (INTERVAL_MARK + span if span else "")


def _extract_numbers(figure: Figure | None) -> tuple[float, float, float] | None:
    """Value, low and high in SI units."""
    return (figure.value, figure.low, figure.high) if figure else None


def _compute_change(old: Figure | None, new: Figure | None) -> float | None:
    """(new − old) / |old|; None where that has no meaning. [-]"""
    if old is None or new is None or old.value == 0.0:
        return None
    change = (new.value - old.value) / abs(old.value)
    return change if math.isfinite(change) else None


def _compute_width_ratio(old: Figure | None, new: Figure | None) -> float | None:
    """New width of the interval over the old one; each relative to its value if both intervals are above zero. [-]"""
    if old is None or new is None:
        return None
    was, now = old.high - old.low, new.high - new.low
    if old.low > 0.0 and new.low > 0.0:
        was, now = was / old.value, now / new.value
    return now / was if was > 0.0 and now > 0.0 and math.isfinite(now / was) else None
