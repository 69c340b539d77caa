"""Stills of two to four bikes: one figure with all intervals on one scale, and the main figures as a table."""

from collections.abc import Sequence
from dataclasses import dataclass

from generator.charts.drawing import theme
from generator.handout.paper import (
    LANDSCAPE,
    SMALLEST,
    Box,
    PictureSize,
    StillCanvas,
    TextStyle,
    fit_lines,
    leading,
)
from generator.handout.stills import FINDING, GAP, NAME, SMALL, NumberRow, StillFrame, start_still

BAR = 22
"""Thickness of an interval. [px]"""
NAMES = TextStyle((56, 48, 44, 40, 36, SMALLEST))
WIDEST = {2: 84, 3: 64, 4: 56}
"""Largest size of a value by the number of columns. [px]"""
_LINE = leading(SMALLEST, "plain")
_READING = "The thick bar is the interval: eight times in ten the value lies within it."

_SPANS = (
    "Beneath a value stands its interval, in which it lies eight times in ten, or else its basis."
)


@dataclass(frozen=True)
class ComparedBike:
    """A figure of one bike in a comparison."""

    bike: str
    value: str
    """Its value as shown."""
    likely: str
    """Its interval and basis as shown."""
    place: tuple[float, float, float] | None
    """Low, value and high, all sides in one unit; None if not known."""


def draw_comparison_still(
    frame: StillFrame,
    size: PictureSize,
    title: str,
    verdict: str,
    condition: str,
    sides: Sequence[ComparedBike],
) -> StillCanvas:
    """One figure of two to four bikes, each with its interval as a bar on a common scale."""
    canvas, room = start_still(frame, size)
    top = canvas.set_block(title, room, NAME) + GAP // 2
    top = canvas.set_block(verdict, room.below(top), FINDING._replace(most=2, role="rubric")) + GAP
    most = 2 if size == LANDSCAPE else 4
    unsure = any(side.place and side.place[0] < side.place[2] for side in sides)
    words = f"{condition} {_READING}" if unsure else condition
    foot = canvas.set_at_bottom(words.strip(), room.below(top), SMALL._replace(most=most)) - GAP
    each = (foot - top) // len(sides)
    known = [side.place for side in sides if side.place]
    ends = (min(0.0, *(one[0] for one in known)), max(one[2] for one in known))
    for place, side in enumerate(sides):
        box = room._replace(top=top + place * each, bottom=top + (place + 1) * each - GAP // 2)
        colour = theme.SERIES[place % len(theme.SERIES)]
        canvas.draw_rule(box.left, box.right, box.top - GAP // 4)
        if size == LANDSCAPE:
            name, rest = box.split_columns(0.3, GAP)
            value, bar = rest.split_columns(0.36, GAP)
            canvas.set_block(side.bike, name, NAMES._replace(most=2))
            bar = bar.above(_set_value(canvas, value, side))
        else:
            value = box.below(canvas.set_block(side.bike, box, NAMES))
            end = _set_value(canvas, value.above(value.bottom - 3 * BAR), side)
            bar = box.below(end).above(end + 3 * BAR)
        if side.place:
            _draw_bar(canvas, bar, side.place, ends, colour)
    return canvas


def _set_value(canvas: StillCanvas, box: Box, side: ComparedBike) -> int:
    """Sets value and interval and returns where they end. [px]"""
    lines = len(fit_lines(side.likely, box, SMALL._replace(most=2))[0]) if side.likely else 1
    style = TextStyle(
        _fitting_sizes(box.down - lines * _LINE), 1, "serif", "ink" if side.place else "muted"
    )
    top = canvas.set_block(side.value, box, style)
    if not side.likely or box.bottom - top < _LINE:
        return top
    return canvas.set_block(side.likely, box.below(top), SMALL._replace(most=2))


def _fitting_sizes(down: int, most: int = 132) -> tuple[int, ...]:
    """Type sizes of a value whose line fits a height; at least the smallest. [px]"""
    sizes = (132, 116, 100, 84, 72, 64, 56, 48, 40, 36, SMALLEST)
    found = [size for size in sizes if size <= most and leading(size, "serif") <= down]
    return tuple(found) or (SMALLEST,)


def _draw_bar(
    canvas: StillCanvas,
    box: Box,
    place: tuple[float, float, float],
    ends: tuple[float, float],
    colour: str,
) -> None:
    """Draws a line from zero to the value, the interval as a bar over it, and the value as an upright stroke."""
    span = (ends[1] - ends[0]) or 1.0
    zero, low, value, high = (
        box.left + round((each - ends[0]) / span * (box.across - BAR)) + BAR // 2
        for each in (0.0, *place)
    )
    middle = (box.top + box.bottom) // 2
    canvas.draw_rule(box.left, box.right, middle, 2)
    canvas.shapes.append(
        f'<rect x="{min(zero, value)}" y="{middle - 3}" width="{abs(value - zero)}" height="8" fill="{colour}"/>'
        f'<rect x="{low}" y="{middle - BAR // 2}" width="{max(1, high - low)}" height="{BAR}" fill="{colour}"/>'
        f'<rect x="{zero - 1}" y="{middle - BAR}" width="2" height="{2 * BAR}" fill="{canvas.scheme["muted"]}"/>'
        f'<rect x="{value - 4}" y="{middle - BAR}" width="8" height="{2 * BAR}" fill="{canvas.scheme["ink"]}"/>'
    )


def draw_table_still(
    frame: StillFrame,
    size: PictureSize,
    names: Sequence[str],
    rows: Sequence[tuple[str, Sequence[NumberRow | None]]],
) -> StillCanvas:
    """The main figures of two to four bikes, one column per bike."""
    canvas, room = start_still(frame, size)
    if any(cell and cell.likely for _, cells in rows for cell in cells):
        room = room.above(canvas.set_at_bottom(_SPANS, room, SMALL._replace(most=2)) - GAP // 2)
    wide = size == LANDSCAPE
    share = 0.26 if wide else 0.0
    left = room.left + round(room.across * share)
    step = (room.right - left + GAP) // len(names)
    columns = [
        Box(left + place * step, room.top, left + (place + 1) * step - GAP, room.bottom)
        for place in range(len(names))
    ]
    name = TextStyle((56, 48, 40, 36, SMALLEST), 3, "serif")
    smallest = min(fit_lines(each, box, name)[1] for each, box in zip(names, columns, strict=True))
    name = name._replace(sizes=(smallest,))
    top = (
        max(canvas.set_block(each, box, name) for each, box in zip(names, columns, strict=True))
        + GAP
    )
    each = (room.bottom - top) // len(rows)
    for place, (title, cells) in enumerate(rows):
        box = room._replace(top=top + place * each, bottom=top + (place + 1) * each - GAP // 3)
        canvas.draw_rule(box.left, box.right, box.top)
        box = box.below(box.top + 12)
        start = box.top
        label = TextStyle((38, 36, SMALLEST), 3 if wide else 1)
        if wide:
            canvas.set_block(title, box._replace(right=left - GAP), label)
        else:
            start = canvas.set_block(title, box, label._replace(role="muted")) + 6
        sizes = _fitting_sizes(box.bottom - start - _LINE, WIDEST[len(names)])
        for cell, column in zip(cells, columns, strict=True):
            at = column._replace(top=start, bottom=box.bottom)
            value = cell.value if cell else "not known"
            end = canvas.set_block(
                value, at, TextStyle(sizes, 1, "serif", "rubric" if cell else "muted")
            )
            if cell and cell.likely:
                canvas.set_block(cell.likely, at.below(end), TextStyle((SMALLEST,), 2))
    return canvas
