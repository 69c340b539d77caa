"""Our charts drawn by Altair and Vega, the reference for our own drawing.

Altair 6 and the Vega of vl-convert, with a plot area as wide as ours, so that coordinates can be compared.
"""

from collections.abc import Sequence
from typing import Any

import altair as alt

from generator.charts.drawing import theme
from generator.charts.drawing.bars import BarChart
from generator.charts.drawing.labels import HEIGHT
from generator.charts.drawing.lines import LineChart


def of_lines(chart: LineChart, width: float) -> dict[str, Any]:
    kind = chart.kind
    count = len(theme.SERIES)

    def by_place(channel: Any, values: Sequence[Any]) -> Any:
        return channel("place:N", legend=None).scale(
            domain=list(range(count)),
            range=[list(v) if isinstance(v, tuple) else v for v in values],
        )

    colour = by_place(alt.Color, theme.SERIES)
    dash = by_place(alt.StrokeDash, theme.DASHES)
    shape = by_place(alt.Shape, theme.SHAPES)
    x_axis = (
        alt.X(f"{kind.x}:Q", title=kind.x_title)
        .axis(values=[place for place, _ in chart.ticks], titleAnchor="start")
        .scale(domain=[chart.plot_area.left, chart.plot_area.edge], nice=False)
    )
    y_axis = (
        alt.Y(f"{kind.y}:Q", title=None)
        .axis(tickCount=5)
        .scale(domain=[0, chart.plot_area.top], nice=False)
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
    drawn = alt.layer(*layers).properties(
        width=width,
        height=HEIGHT,
        title=kind.y_title,
        autosize="none",
    )
    spec = drawn.to_dict(validate=False)
    return {**spec, "config": theme.config(), "datasets": dict(chart.datasets)}


def of_bars(chart: BarChart, width: float, height: float) -> dict[str, Any]:
    levels, routes = len(chart.groups), 1 + max(row["slot"] for row in chart.bars)
    colours = [theme.SERIES[index % len(theme.SERIES)] for index in range(routes)]
    slots = list(range(-1, routes))  # the first slot holds the level's name, over its bars

    def placed(source: str) -> alt.Chart:
        return alt.Chart(alt.NamedData(source)).encode(
            y=alt.Y("place:N", title=None, sort=None, axis=None).scale(
                paddingInner=0.12, paddingOuter=0.03, domain=list(range(levels))
            ),
            yOffset=alt.YOffset("slot:N", sort=slots).scale(domain=slots, paddingInner=0.2),
        )

    bars = (
        placed("rows")
        .mark_bar()
        .encode(
            x=alt.X("to:Q", title=chart.title)
            .axis(values=list(chart.ticks), titleAnchor="start")
            .scale(domain=[0, chart.wide], nice=False),
            color=alt.Color("slot:N", legend=None).scale(domain=list(range(routes)), range=colours),
        )
    )
    interval = placed("rows").mark_rule(color=theme.INK, strokeWidth=1.5)
    words = placed("rows").mark_text(align="left", baseline="middle", dx=5, limit=200)
    heads = placed("heads").mark_text(align="left", baseline="middle", fontWeight="bold")
    drawn = alt.layer(
        bars,
        interval.encode(x="from_:Q", x2="until:Q"),
        words.encode(x="until:Q", text="words:N"),
        heads.encode(x="start:Q", text="level:N"),
    ).properties(
        width=width,
        height=height,
        autosize="none",
    )
    spec = drawn.to_dict(validate=False)
    names = [
        {"level": level, "place": place, "slot": -1, "start": 0}
        for place, level in enumerate(chart.groups)
    ]
    datasets = {"rows": list(chart.bars), "heads": names}
    return {**spec, "config": theme.config(), "datasets": datasets}
