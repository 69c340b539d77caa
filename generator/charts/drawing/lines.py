"""Line charts with one line per series, each named at its right end.

Every bike has several, so they are laid out here and drawn by `line_picture` in our own strokes.

* line_chart   from rows to a layout
* pivot        the rows as a table
"""

import math
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from generator.charts.drawing import axes, labels, theme
from generator.charts.rows import Row

LABEL_SHARE = 0.3
"""Share of the width kept free at the right for the labels."""

ROWS = 5
"""Lines of the table of the numbers drawn, evenly spread."""


class Kind(NamedTuple):
    """What the line charts of one kind have in common."""

    x: str
    y: str
    x_title: str
    y_title: str
    band: bool = False
    """Whether one series shows its interval."""
    mark: str = ""
    """Axis at which a value is marked, x or y; empty without one."""


def picked(names: Sequence[Any], most: int = len(theme.SERIES)) -> list[Any]:
    """At most `most` of the names, first and last always among them, evenly spread."""
    if len(names) <= most:
        return list(names)
    step = (len(names) - 1) / (most - 1)
    return [names[round(index * step)] for index in range(most)]


class LineChart(NamedTuple):
    """One chart, laid out but not drawn."""

    kind: Kind
    paper: labels.Paper
    ticks: Sequence[tuple[float, str]]
    """Of the lower axis: places and words."""
    drawn: Mapping[str, list[Row]]
    """`rows` {x, y, place} of the lines; `ends`, `keys`, `names` and `within` of `labels.named`; `band` {x, low, high,
    place}; `mark` {x, y, words}."""


def line_chart(kind: Kind, rows: Sequence[Row], mark: Row | None = None) -> LineChart:
    """The chart of rows {series, place, x, y} and, where the kind has a band, {low, high}.

    The band is that of the series drawn last with an interval. `mark` is {x, y, words}: the value marked, and where its
    words stand.
    """
    x, y = kind.x, kind.y
    along = [row[x] for row in rows]
    left, right = min(along), max(along)
    banded = [row for row in rows if kind.band and row["series"] == rows[-1]["series"]]
    top = max([row[y] for row in rows] + [row["high"] for row in banded])
    top = top * 1.1 or 1.0
    edge = right + (right - left) * LABEL_SHARE / (1 - LABEL_SHARE)
    paper = labels.Paper(x, y, left, right, edge, top)
    drawn = {
        "rows": [
            {x: row[x], y: row[y], "place": row["place"]}
            for line in labels.by_series(rows).values()
            for row in labels.thinned(line, paper, y)
        ],
        **labels.named(rows, paper),
        "band": labels.thinned(banded, paper, "low", "high"),
        "mark": [mark] if mark else [],
    }
    places = round_ticks(left, right)
    words = axes.words_of(places)
    ticks = [pair for pair in zip(places, words, strict=True) if pair[0] <= right * 1.0001]
    return LineChart(kind, paper, ticks, drawn)


def pivot(
    rows: Sequence[Row],
    *,
    x: str,
    y: str,
    x_title: str,
    y_unit: str,
    places: Sequence[float] = (),
) -> tuple[list[str], list[list[str]]]:
    """The rows as a table: one line for each place on x (nine of those in the rows unless given), one column per series.

    Where a series has no row at a place, its value is read on the straight line between its neighbours; beyond its ends
    it has none.
    """
    lines = {
        name: ([row[x] for row in line], [row[y] for row in line])
        for name, line in labels.by_series(rows).items()
    }
    head = [x_title, *(f"{name}, {y_unit}" for name in lines)]
    body = [
        [f"{round(place, 1):g}", *(_cell(_between(*line, place)) for line in lines.values())]
        for place in places or picked(sorted({row[x] for row in rows}), ROWS)
    ]
    return head, body


def _cell(value: float | None) -> str:
    return "–" if value is None else f"{value:.0f}" if abs(value) >= 100 else f"{value:.1f}"


def _between(along: Sequence[float], heights: Sequence[float], x: float) -> float | None:
    """Height at x of a line that runs from left to right."""
    at = bisect_left(along, x)
    if at == len(along):
        return None
    x1, y1 = along[at], heights[at]
    if x == x1:
        return y1
    if at == 0:
        return None
    x0, y0 = along[at - 1], heights[at - 1]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def round_ticks(left: float, right: float) -> list[float]:
    """About five round values from left to right."""
    span = (right - left) or 1.0
    sizes = (part * 10**power for power in range(-2, 7) for part in (1, 2, 5))
    step = next(size for size in sizes if span / size <= 6)
    first = math.ceil(left / step - 1e-9) * step
    return [round(first + step * index, 4) for index in range(int((right - first) / step) + 1)]
