"""Layout of line charts with one line per series, each named at its right end.

Every bike has several, so they are laid out here and drawn by `draw_line_chart`, not by Vega.

* lay_out_lines   rows laid out
* pivot_rows      rows as a data table
* pick_evenly     a few of many names, evenly spread
* round_ticks     round values for an axis
"""

import math
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from generator.charts.drawing import axes, labels, theme
from generator.charts.rows import ChartRow

LABEL_SHARE = 0.3
"""Share of the width left free at the right for the names."""

ROWS = 5
"""Lines of the data table, evenly spread."""


class LineKind(NamedTuple):
    """Properties that the line charts of one kind share."""

    x: str
    y: str
    x_title: str
    y_title: str
    band: bool = False
    """Whether the last series shows its interval."""
    mark: str = ""
    """Axis on which a value is marked, x or y; empty without one."""


def pick_evenly(names: Sequence[Any], most: int = len(theme.SERIES)) -> list[Any]:
    """At most `most` of the names, evenly spread, always with the first and the last."""
    if len(names) <= most:
        return list(names)
    step = (len(names) - 1) / (most - 1)
    return [names[round(index * step)] for index in range(most)]


class LineChart(NamedTuple):
    """One line chart, laid out but not drawn."""

    kind: LineKind
    plot_area: labels.PlotArea
    ticks: Sequence[tuple[float, str]]
    """Values and words of the lower axis."""
    datasets: Mapping[str, list[ChartRow]]
    """Datasets: `rows` {x, y, place} of the lines; `ends`, `keys`, `names` and `within` of `labels.place_names`; `band` {x, low,
    high, place}; `mark` {x, y, words}."""


def lay_out_lines(
    kind: LineKind, rows: Sequence[ChartRow], mark: ChartRow | None = None
) -> LineChart:
    """The chart of rows {series, place, x, y} and, if the kind has a band, {low, high}.

    The band is the interval of the last series. `mark` is {x, y, words}: a value to mark, and where its words stand.
    """
    x, y = kind.x, kind.y
    along = [row[x] for row in rows]
    left, right = min(along), max(along)
    banded = [row for row in rows if kind.band and row["series"] == rows[-1]["series"]]
    top = max([row[y] for row in rows] + [row["high"] for row in banded])
    top = top * 1.1 or 1.0
    edge = right + (right - left) * LABEL_SHARE / (1 - LABEL_SHARE)
    plot_area = labels.PlotArea(x, y, left, right, edge, top)
    datasets = {
        "rows": [
            {x: row[x], y: row[y], "place": row["place"]}
            for line in labels.group_by_series(rows).values()
            for row in labels.thin_line(line, plot_area, y)
        ],
        **labels.place_names(rows, plot_area),
        "band": labels.thin_line(banded, plot_area, "low", "high"),
        "mark": [mark] if mark else [],
    }
    places = round_ticks(left, right)
    words = axes.format_ticks(places)
    ticks = [pair for pair in zip(places, words, strict=True) if pair[0] <= right * 1.0001]
    return LineChart(kind, plot_area, ticks, datasets)


def pivot_rows(
    rows: Sequence[ChartRow],
    *,
    x: str,
    y: str,
    x_title: str,
    y_unit: str,
    places: Sequence[float] = (),
) -> tuple[list[str], list[list[str]]]:
    """The rows as a data table: one line for each of `places` on x (`ROWS` of those in the rows by default), one
    column per series.

    Between the rows of a series its value is interpolated; beyond its ends it has none.
    """
    lines = {
        name: ([row[x] for row in line], [row[y] for row in line])
        for name, line in labels.group_by_series(rows).items()
    }
    head = [x_title, *(f"{name}, {y_unit}" for name in lines)]
    body = [
        [
            f"{round(place, 1):g}",
            *(_format_cell(_interpolate(*line, place)) for line in lines.values()),
        ]
        for place in places or pick_evenly(sorted({row[x] for row in rows}), ROWS)
    ]
    return head, body


def _format_cell(value: float | None) -> str:
    return "–" if value is None else f"{value:.0f}" if abs(value) >= 100 else f"{value:.1f}"


def _interpolate(along: Sequence[float], heights: Sequence[float], x: float) -> float | None:
    """Height at x of a line through points from left to right; None beyond its ends."""
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
    """About five round values between left and right."""
    span = (right - left) or 1.0
    sizes = (part * 10**power for power in range(-2, 7) for part in (1, 2, 5))
    step = next(size for size in sizes if span / size <= 6)
    first = math.ceil(left / step - 1e-9) * step
    return [round(first + step * index, 4) for index in range(int((right - first) / step) + 1)]
