"""Line charts with one line per series, each named at its right end.

The specification of a kind of chart is made by Altair once in a process; what differs from bike to bike is filled in
as data: rows in `datasets`, edges and ticks in `params`.
"""

import math
from collections.abc import Sequence
from functools import cache
from typing import Any, NamedTuple

from generator.charts import labels, theme
from generator.charts.labels import HEIGHT
from generator.charts.plate import Row

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


@cache
def template(kind: Kind) -> dict[str, Any]:
    """Vega-Lite of a kind without its rows. Not to be changed: every chart of the kind shares it."""
    import altair as alt

    count = len(theme.SERIES)

    def by_place(channel: Any, values: Sequence[Any]) -> Any:
        return channel("place:N", legend=None).scale(
            domain=list(range(count)),
            range=[list(v) if isinstance(v, tuple) else v for v in values],
        )

    colour = by_place(alt.Color, theme.SERIES)
    dash = by_place(alt.StrokeDash, theme.DASHES)
    shape = by_place(alt.Shape, theme.SHAPES)
    left, edge, top = alt.param("left", 0), alt.param("edge", 1), alt.param("top", 1)
    ticks = alt.param("ticks", [])
    x_axis = (
        alt.X(f"{kind.x}:Q", title=kind.x_title)
        .axis(values=alt.expr(ticks.name), titleAnchor="start")
        .scale(domain=[alt.expr(left.name), alt.expr(edge.name)], nice=False)
    )
    y_axis = (
        alt.Y(f"{kind.y}:Q", title=None)
        .axis(tickCount=5)
        .scale(domain=[0, alt.expr(top.name)], nice=False)
    )

    def of(source: str) -> alt.Chart:
        return alt.Chart(alt.NamedData(source))

    x, y = f"{kind.x}:Q", f"{kind.y}:Q"
    layers = [
        of("rows")
        .mark_line(strokeWidth=2)
        .encode(x=x_axis, y=y_axis, color=colour, strokeDash=dash),
        of("ends").mark_point().encode(x=x, y=y, color=colour, shape=shape),
        of("keys").mark_point().encode(x="mark:Q", y="label:Q", color=colour, shape=shape),
        of("names")
        .mark_text(align="left", baseline="middle", limit=110)
        .encode(x="words:Q", y="label:Q", text="series:N"),
        of("within")
        .mark_text(align="center", baseline="middle")
        .encode(x="words:Q", y="label:Q", text="series:N"),
    ]
    if kind.band:
        area = of("band").mark_area(opacity=0.16)
        layers.insert(
            0, area.encode(x=x_axis, y=alt.Y("low:Q", title=None), y2="high:Q", color=colour)
        )
    if kind.mark == "x":
        words = of("mark").mark_text(baseline="bottom", align="right", dx=-4, dy=-3)
        layers += [
            of("mark").mark_rule(color=theme.MUTED, strokeDash=[4, 3]).encode(x=x),
            words.encode(x=x, y=y, text="words:N"),
        ]
    elif kind.mark == "y":
        words = of("mark").mark_text(baseline="bottom", align="left", dx=4, dy=-3)
        layers += [
            of("mark").mark_rule(color=theme.MUTED, strokeDash=[4, 3]).encode(y=y),
            words.encode(x=x, y=y, text="words:N"),
        ]
    chart = (
        alt.layer(*layers)
        .add_params(left, edge, top, ticks)
        .properties(
            width=theme.WIDTH,
            height=HEIGHT,
            title=kind.y_title,
            autosize=alt.AutoSizeParams(type="fit-x", contains="padding"),
        )
    )
    spec = chart.to_dict(validate=False)
    spec["config"] = theme.config()
    return spec


def line_spec(kind: Kind, rows: Sequence[Row], mark: Row | None = None) -> dict[str, Any]:
    """Vega-Lite for rows {series, place, x, y} and, where the kind has a band, {low, high}.

    The band is that of the series drawn last with an interval. `mark` is {x, y, words}: the value marked, and where its
    words stand.
    """
    x, y = kind.x, kind.y
    right = max(row[x] for row in rows)
    left = min(row[x] for row in rows)
    banded = [row for row in rows if kind.band and row["series"] == rows[-1]["series"]]
    top = max([row[y] for row in rows] + [row["high"] for row in banded])
    top = top * 1.1 or 1.0
    edge = right + (right - left) * LABEL_SHARE / (1 - LABEL_SHARE)
    paper = labels.Paper(x, y, left, right, edge, top)
    named = labels.named(rows, paper)
    datasets = {
        "rows": [
            {x: row[x], y: row[y], "place": row["place"]}
            for line in labels.by_series(rows).values()
            for row in labels.thinned(line, paper, y)
        ],
        **named,
    }
    if kind.band:
        datasets["band"] = labels.thinned(banded, paper, "low", "high")
    if kind.mark:
        datasets["mark"] = [mark] if mark else []
    ticks = [value for value in round_ticks(left, right) if value <= right * 1.0001]
    values = {"left": left, "edge": edge, "top": top, "ticks": ticks}
    return filled(template(kind), values, datasets)


def filled(
    template: dict[str, Any], values: dict[str, Any], datasets: dict[str, Any]
) -> dict[str, Any]:
    """The template with its params set and its rows put in; the template itself stays as it is."""
    params = [
        {**param, "value": values[param["name"]]} if param["name"] in values else param
        for param in template["params"]
    ]
    return {**template, "params": params, "datasets": datasets}


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
        name: [(row[x], row[y]) for row in line] for name, line in labels.by_series(rows).items()
    }
    head = [x_title, *(f"{name}, {y_unit}" for name in lines)]
    body = [
        [f"{round(place, 1):g}", *(_cell(_between(line, place)) for line in lines.values())]
        for place in places or picked(sorted({row[x] for row in rows}), ROWS)
    ]
    return head, body


def _cell(value: float | None) -> str:
    return "–" if value is None else f"{value:.0f}" if abs(value) >= 100 else f"{value:.1f}"


def _between(line: Sequence[tuple[float, float]], x: float) -> float | None:
    for (x0, y0), (x1, y1) in zip(line, [*line[1:], line[-1]], strict=True):
        if x == x0:
            return y0
        if x0 < x < x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return None


def round_ticks(left: float, right: float) -> list[float]:
    """About five round values from left to right."""
    span = (right - left) or 1.0
    sizes = (part * 10**power for power in range(-2, 7) for part in (1, 2, 5))
    step = next(size for size in sizes if span / size <= 6)
    first = math.ceil(left / step - 1e-9) * step
    return [round(first + step * index, 4) for index in range(int((right - first) / step) + 1)]
