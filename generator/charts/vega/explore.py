"""Charts to explore in the browser: one specification for each form, and the quantities of each chart.

* build_forms   Vega-Lite specifications without rows, built by Altair; the browser fills in rows, edges, titles and colours
* KINDS         form, quantities and units of each chart

`columns.py` gives the data of a chart. The datasets `at` and `dots` mark the place that a reader has selected.
"""

from dataclasses import dataclass
from functools import cache
from typing import Any

from generator.charts.drawing import theme
from generator.figures import units
from generator.figures.model import Unit

WASH = "#f0f3ee"
"""Background of the level that a reader has selected; the browser maps it to a token like the theme's colours."""
X_TITLE, Y_TITLE = "x title", "y title"
"""Placeholders in a form for the titles that the browser fills in."""


@dataclass(frozen=True)
class ExploredChart:
    """Form, quantities and units of one chart to explore."""

    form: str
    """`lines`, `bars` or `points`."""
    x: str
    x_unit: Unit | None
    """None if x holds names or money."""
    y: str
    y_unit: Unit
    series: str
    """Word for a series, such as `level`."""
    mark: str = ""
    """Axis of the marked value, x or y; empty without one."""
    words: str = ""
    """Words before the marked value."""


KINDS = {
    "hills.speed_by_grade": ExploredChart(
        "lines", "Grade", units.GRADE, "Speed", units.SPEED, "level"
    ),
    "range.by_level": ExploredChart("bars", "Level", None, "Range", units.DISTANCE, "route"),
    "assist.motor_by_rider": ExploredChart(
        "lines", "Rider's power", units.POWER, "Motor's power", units.POWER, "level"
    ),
    "assist.launch": ExploredChart(
        "lines", "Time", units.SECONDS, "Speed", units.SPEED, "level", mark="y"
    ),
    "gears.cadence_by_speed": ExploredChart(
        "lines", "Speed", units.SPEED, "Cadence", units.CADENCE, "gear", "x", "help ends"
    ),
    "price.range": ExploredChart("points", "Price", None, "Range", units.DISTANCE, "kind of bike"),
}


@cache
def build_forms() -> dict[str, dict[str, Any]]:
    """Specification by form. They are shared: do not change them."""
    return {"lines": _build_line_form(), "bars": _build_bar_form(), "points": _build_point_form()}


def _chart_of(source: str) -> Any:
    import altair as alt

    return alt.Chart(alt.NamedData(source))


def _by_place(channel: Any, values: Any) -> Any:
    return channel("place:N", legend=None).scale(
        domain=list(range(len(values))),
        range=[list(v) if isinstance(v, tuple) else v for v in values],
    )


def _finish_spec(layers: list[Any], *params: Any) -> dict[str, Any]:
    import altair as alt

    chart = alt.layer(*layers).add_params(*params)
    spec = chart.properties(
        height=300, title=Y_TITLE, autosize=alt.AutoSizeParams(type="fit-x", contains="padding")
    ).to_dict(validate=False)
    spec["config"] = theme.config()
    return spec


def _build_axes() -> tuple[Any, Any, list[Any]]:
    """Axes x and y for quantities, and the params for their edges."""
    import altair as alt

    left, right, top = alt.param("left", 0), alt.param("right", 1), alt.param("top", 1)
    x = (
        alt.X("x:Q", title=X_TITLE)
        .axis(titleAnchor="start", tickCount=alt.expr("width / 60"), labelSeparation=6)
        .scale(domain=[alt.expr("left"), alt.expr("right")], nice=False)
    )
    y = alt.Y("y:Q", title=None).axis(tickCount=5).scale(domain=[0, alt.expr("top")], nice=False)
    return x, y, [left, right, top]


def _build_line_form() -> dict[str, Any]:
    import altair as alt

    x, y, params = _build_axes()
    colour, dash = _by_place(alt.Color, theme.SERIES), _by_place(alt.StrokeDash, theme.DASHES)
    shape = _by_place(alt.Shape, theme.SHAPES)
    layers = [
        _chart_of("band").mark_area(opacity=0.16).encode(x=x, y=alt.Y("low:Q", title=None), y2="high:Q", color=colour),
        _chart_of("marks_x").mark_rule(color=theme.MUTED, strokeDash=[4, 3]).encode(x="x:Q"),
        _chart_of("marks_x").mark_text(baseline="bottom", align="right", dx=-4, dy=-3).encode(
            x="x:Q", y="y:Q", text="words:N"
        ),
        _chart_of("marks_y").mark_rule(color=theme.MUTED, strokeDash=[4, 3]).encode(y="y:Q"),
        _chart_of("marks_y").mark_text(baseline="bottom", align="left", dx=4, dy=-3).encode(
            x="x:Q", y="y:Q", text="words:N"
        ),
        _chart_of("at").mark_rule(color=theme.INK).encode(x="x:Q"),
        _chart_of("rows").mark_line(strokeWidth=2).encode(x=x, y=y, color=colour, strokeDash=dash),
        _chart_of("dots").mark_rule(strokeWidth=3, opacity=0.6).encode(x="x:Q", y="low:Q", y2="high:Q", color=colour),
        _chart_of("dots").mark_point(size=75).encode(x="x:Q", y="y:Q", color=colour, shape=shape),
    ]  # fmt: skip
    return _finish_spec(layers, *params)


def _build_bar_form() -> dict[str, Any]:
    """Specification of bars, levels from top to bottom; `down` is a level's number, shifted for each route."""
    import altair as alt

    params = [alt.param("right", 1), alt.param("count", 1), alt.param("names", [""])]
    down = (
        alt.Y("down:Q", title=None)
        .scale(domain=[-0.5, alt.expr("count - 0.5")], reverse=True, nice=False)
        .axis(
            values=alt.expr("sequence(count)"),
            labelExpr="names[datum.value]",
            labelLimit=110,
            grid=False,
        )
    )
    x = (
        alt.X("to:Q", title=X_TITLE)
        .axis(titleAnchor="start", tickCount=alt.expr("width / 60"), labelSeparation=6, grid=True)
        .scale(domain=[0, alt.expr("right")], nice=False)
    )
    colour, shape = _by_place(alt.Color, theme.SERIES), _by_place(alt.Shape, theme.SHAPES)
    layers = [
        _chart_of("at").mark_rect(color=WASH).encode(y=alt.Y("from:Q", title=None), y2="until:Q"),
        _chart_of("rows").mark_rule(strokeWidth=3, opacity=0.6).encode(y=down, x="low:Q", x2="high:Q", color=colour),
        _chart_of("rows").mark_point(size=75).encode(y=down, x=x, color=colour, shape=shape),
    ]  # fmt: skip
    return _finish_spec(layers, *params)


def _build_point_form() -> dict[str, Any]:
    import altair as alt

    x, y, params = _build_axes()
    colour = _by_place(alt.Color, (theme.SERIES[1], theme.SERIES[0]))
    shape = _by_place(alt.Shape, ("diamond", "circle"))
    layers = [
        _chart_of("at").mark_rule(color=theme.RULE).encode(x="x:Q"),
        _chart_of("rows").mark_rule(color=theme.MUTED).encode(x=x, y=alt.Y("low:Q", title=None), y2="high:Q"),
        _chart_of("rows").mark_point(size=60).encode(x=x, y=y, color=colour, shape=shape),
        _chart_of("dots").mark_point(size=260, filled=False, strokeWidth=2, color=theme.INK, shape="circle").encode(
            x="x:Q", y="y:Q"
        ),
    ]  # fmt: skip
    return _finish_spec(layers, *params)
