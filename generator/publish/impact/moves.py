"""Figures that are not what they were."""

import math
from collections.abc import Iterator, Sequence

from generator.figures import show
from generator.figures.model import Figure
from generator.figures.table.figures_table import FiguresTable
from generator.publish.impact.leaves import leaves
from generator.publish.impact.model import LIKELY, KeyChange, Move
from generator.publish.impact.pairing import Pair
from generator.publish.impact.tables import Tables
from generator.publish.impact.why import Causes, ContentCause, Side, differ, reasons
from generator.specs.bike import Bike


def moves(
    pairs: Sequence[Pair],
    found: Tables,
    keys: dict[str, tuple[KeyChange, ...]],
    content: Sequence[ContentCause],
    system: show.System,
) -> tuple[Move, ...]:
    """Of every bike that is on both sides; what has come or gone has moved nothing."""
    order = {id: place for place, id in enumerate((found.after.kinds | found.before.kinds).keys())}
    moved: list[Move] = []
    for pair in pairs:
        if pair.before and pair.after:
            causes = Causes(
                leaves(pair.before, pair.after),
                keys.get(pair.slug, ()),
                found.trials.get(pair.slug, ()),
                content,
            )
            mine = _of_bike(pair.before, pair.after, found, causes, system)
            moved += sorted(mine, key=lambda move: order.get(move.figure, len(order)))
    return tuple(moved)


def _of_bike(
    before: Bike, after: Bike, found: Tables, causes: Causes, system: show.System
) -> Iterator[Move]:
    old, new = found.before.of(before.slug), found.after.of(after.slug)
    for id in {**old, **new}:
        if differ(old.get(id), new.get(id)):
            sides = _side(found.before, old.get(id)), _side(found.after, new.get(id))
            yield _move(after, *sides, causes, system)


def _side(table: FiguresTable, figure: Figure | None) -> Side:
    if figure is None:
        return Side(None)
    return Side(figure, tuple(each.given for each in table.working(figure).inputs))


def _move(bike: Bike, before: Side, after: Side, causes: Causes, system: show.System) -> Move:
    old, new = before.figure, after.figure
    figure = new or old
    assert figure
    comparable = old is not None and new is not None and old.kind.unit.si == new.kind.unit.si
    return Move(
        bike=bike.slug,
        name=bike.full_name,
        figure=figure.id,
        title=figure.kind.title,
        headline=figure.kind.headline,
        unit=figure.kind.unit.si,
        old=_numbers(old),
        new=_numbers(new),
        old_text=shown(old, system),
        new_text=shown(new, system),
        change=_change(old, new) if comparable else None,
        old_basis=old.basis if old else "",
        new_basis=new.basis if new else "",
        width=_width(old, new) if comparable else None,
        why=reasons(before, after, causes),
    )


def shown(figure: Figure | None, system: show.System) -> str:
    """Such as `44 km, likely 36–52`; empty for none."""
    if figure is None:
        return ""
    span = show.interval(figure, system)
    return show.text(figure, system) + (LIKELY + span if span else "")


def _numbers(figure: Figure | None) -> tuple[float, float, float] | None:
    return (figure.value, figure.low, figure.high) if figure else None


def _change(old: Figure | None, new: Figure | None) -> float | None:
    if old is None or new is None or old.value == 0.0:
        return None
    change = (new.value - old.value) / abs(old.value)
    return change if math.isfinite(change) else None


def _width(old: Figure | None, new: Figure | None) -> float | None:
    """Widths of the intervals, each in relation to its value where that is above zero throughout."""
    if old is None or new is None:
        return None
    was, now = old.high - old.low, new.high - new.low
    if old.low > 0.0 and new.low > 0.0:
        was, now = was / old.value, now / new.value
    return now / was if was > 0.0 and now > 0.0 and math.isfinite(now / was) else None
