"""Line charts with one line per series, each named at its right end."""

from collections.abc import Sequence
from typing import Any

from generator.charts import theme
from generator.charts.plate import Row

HEIGHT = 250
GAP = 19
"""Least distance between two end labels. [px]"""
LABEL_SHARE = 0.3
"""Share of the width kept free at the right for the labels."""


def picked(names: Sequence[Any], most: int = len(theme.SERIES)) -> list[Any]:
    """At most `most` of the names, first and last always among them, evenly spread."""
    if len(names) <= most:
        return list(names)
    step = (len(names) - 1) / (most - 1)
    return [names[round(index * step)] for index in range(most)]


def names_at_edge(rows: Sequence[Row], x: str, y: str, top: float) -> list[Row]:
    """The last point of each series that reaches the right edge, with `label`, a height for its name.

    The heights are spread so that no two names meet.
    """
    right = max(row[x] for row in rows)
    last = [row for row in rows if row[x] == right]
    ordered = sorted(last, key=lambda row: (row[y], str(row["series"])))
    gap = GAP * top / HEIGHT
    heights: list[float] = []
    for row in ordered:
        heights.append(max(row[y], heights[-1] + gap) if heights else row[y])
    ceiling = top
    for index in reversed(range(len(heights))):
        heights[index] = min(heights[index], ceiling)
        ceiling = heights[index] - gap
    return [
        {**row, "label": round(height, 3)} for row, height in zip(ordered, heights, strict=True)
    ]


def names_within(rows: Sequence[Row], x: str, y: str, top: float) -> list[Row]:
    """The last point of each series that ends before the edge; its name stands clear of its line."""
    right = max(row[x] for row in rows)
    series: dict[Any, list[Row]] = {}
    for row in rows:
        series.setdefault(row["series"], []).append(row)
    found = []
    for line in series.values():
        first, last = line[0], line[-1]
        if last[x] < right:
            side = 1 if last[y] > first[y] else -1
            found.append({**last, "label": round(last[y] + side * 0.75 * GAP * top / HEIGHT, 3)})
    return found


def line_spec(
    rows: Sequence[Row], *, x: str, y: str, x_title: str, y_title: str, band: Any = None
) -> dict[str, Any]:
    """Vega-Lite for rows {series, x, y} and, where `band` names a series, {low, high}.

    Built without Altair's validation of each row: the rows go into `datasets` afterwards.
    """
    import altair as alt

    names = list(dict.fromkeys(row["series"] for row in rows))
    right = max(row[x] for row in rows)
    left = min(row[x] for row in rows)
    top = max([row[y] for row in rows] + [row["high"] for row in rows if row["series"] == band])
    top = top * 1.1 or 1.0
    edge = right + (right - left) * LABEL_SHARE / (1 - LABEL_SHARE)
    free = edge - right
    tags = [
        {**row, "mark": right + free * 0.1, "words": right + free * 0.18}
        for row in names_at_edge(rows, x, y, top)
    ]
    within = names_within(rows, x, y, top)
    count = range(len(names))
    colour = alt.Color("series:N", legend=None).scale(
        domain=names, range=[theme.SERIES[index] for index in count]
    )
    dash = alt.StrokeDash("series:N", legend=None).scale(
        domain=names, range=[list(theme.DASHES[index]) for index in count]
    )
    shape = alt.Shape("series:N", legend=None).scale(
        domain=names, range=[theme.SHAPES[index] for index in count]
    )
    ticks = [value for value in _round_ticks(left, right) if value <= right * 1.0001]
    x_axis = (
        alt.X(f"{x}:Q", title=x_title)
        .axis(values=ticks, titleAnchor="start")
        .scale(domain=[left, edge], nice=False)
    )
    y_axis = alt.Y(f"{y}:Q", title=None).axis(tickCount=5).scale(domain=[0, top], nice=False)

    base = alt.Chart(alt.NamedData("rows"))
    tagged = alt.Chart(alt.NamedData("tags"))
    short = alt.Chart(alt.NamedData("within"))
    layers = [
        base.mark_line(strokeWidth=2).encode(x=x_axis, y=y_axis, color=colour, strokeDash=dash),
        tagged.mark_point().encode(x=f"{x}:Q", y=f"{y}:Q", color=colour, shape=shape),
        tagged.mark_point().encode(x="mark:Q", y="label:Q", color=colour, shape=shape),
        short.mark_point().encode(x=f"{x}:Q", y=f"{y}:Q", color=colour, shape=shape),
        short.mark_text(align="center", baseline="middle").encode(
            x=f"{x}:Q", y="label:Q", text="series:N"
        ),
        tagged.mark_text(align="left", baseline="middle", limit=110).encode(
            x="words:Q", y="label:Q", text="series:N"
        ),
    ]
    if band is not None:
        area = alt.Chart(alt.NamedData("band")).mark_area(
            color=theme.SERIES[names.index(band)], opacity=0.16
        )
        layers.insert(0, area.encode(x=x_axis, y=alt.Y("low:Q", title=None), y2="high:Q"))
    chart = alt.layer(*layers).properties(
        width=theme.WIDTH,
        height=HEIGHT,
        title=y_title,
        autosize=alt.AutoSizeParams(type="fit-x", contains="padding"),
    )
    spec = chart.to_dict(validate=False)
    spec["config"] = theme.config()
    spec["datasets"] = {"rows": list(rows), "tags": tags, "within": within}
    if band is not None:
        spec["datasets"]["band"] = [row for row in rows if row["series"] == band]
    return spec


def pivot(
    rows: Sequence[Row], *, x: str, y: str, x_title: str, y_unit: str, most: int = 9
) -> tuple[list[str], list[list[str]]]:
    """The rows as a table: one line per x (at most `most` of them), one column per series."""
    names = list(dict.fromkeys(row["series"] for row in rows))
    places = picked(sorted({row[x] for row in rows}), most)
    values = {(row[x], row["series"]): row[y] for row in rows}
    head = [x_title, *(f"{name}, {y_unit}" for name in names)]
    body = [
        [f"{place:g}", *(_cell(values.get((place, name))) for name in names)] for place in places
    ]
    return head, body


def _cell(value: float | None) -> str:
    return "–" if value is None else f"{value:.0f}" if abs(value) >= 100 else f"{value:.1f}"


def _round_ticks(left: float, right: float) -> list[float]:
    """About five round values from left to right."""
    span = right - left
    step = next(
        (size for size in (1, 2, 5, 10, 20, 25, 50, 100, 200) if span / size <= 6), span or 1
    )
    first = -(-left // step) * step
    return [first + step * index for index in range(int((right - first) / step) + 1)]
