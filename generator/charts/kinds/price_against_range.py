"""Chart `price.range`: price of each bike against its range, for one currency.

Its `slug` is the currency's code: amounts in different currencies are never put on one scale.
"""

from collections.abc import Sequence
from functools import cache, partial
from importlib.metadata import version
from pathlib import Path
from typing import Any

from generator.charts.definition import ChartDefinition
from generator.charts.drawing import theme
from generator.charts.drawing.lines import round_ticks
from generator.charts.rows import ChartRow, System, speed_and_distance_units
from generator.charts.vega.chart import VegaChart
from generator.figures.model import Figure
from generator.figures.table.figures_table import FiguresTable

HEIGHT = 330
CLEAR = 1.03
"""Least ratio of two ranges that counts as going further."""
KINDS = ("further than any cheaper one", "other")


def find_ranges(table: FiguresTable) -> dict[str, Figure]:
    """Range on the default route, by slug."""
    kinds = table.kinds.values()
    usual = next((kind.id for kind in kinds if kind.group == "range" and kind.headline), "")
    return table.column(usual)


MOST = 150
"""Most bikes in the picture: more would overlap, and the page would grow with the catalogue."""


def select_rows(table: FiguresTable, slug: str, system: System) -> list[ChartRow]:
    """Rows of `build_rows` that the picture shows: all if there are no more than `MOST`.

    Otherwise the numbered bikes, the one that goes furthest, the cheapest, the dearest, and some of the others, evenly
    by price.
    """
    found = build_rows(table, slug, system)
    if len(found) <= MOST:
        return found
    furthest = max(range(len(found)), key=lambda place: found[place]["range"])
    kept = {0, furthest, len(found) - 1} | {at for at, row in enumerate(found) if row["mark"]}
    others = [at for at in range(len(found)) if at not in kept]
    room = max(MOST - len(kept), 1)
    kept |= {others[len(others) * number // room] for number in range(min(room, len(others)))}
    return [found[at] for at in sorted(kept)]


def build_rows(table: FiguresTable, slug: str, system: System) -> list[ChartRow]:
    """Rows {name, slug, price, range, low, high, currency, front, mark, all} of all bikes, cheapest first.

    `front` marks a bike that goes further than every cheaper one, and `mark` numbers those. `all` is the number of rows.
    """
    factor = speed_and_distance_units(system)[2]
    column = find_ranges(table)
    priced = sorted(
        (bike.price.amount, bike.slug, bike.full_name)
        for bike in table.bikes
        if bike.price and bike.price.currency == slug and bike.slug in column
    )
    found: list[ChartRow] = []
    best, count = 0.0, 0
    for price, bike, name in priced:
        figure = column[bike]
        ahead = figure.value > best * CLEAR
        count += ahead
        best = max(best, figure.value)
        found.append(
            {
                "name": name,
                "slug": bike,
                "price": round(price),
                "range": round(figure.value * factor, 1),
                "low": round(figure.low * factor, 1),
                "high": round(figure.high * factor, 1),
                "currency": slug,
                "front": KINDS[0] if ahead else KINDS[1],
                "mark": str(count) if ahead else "",
                "all": len(priced),
            }
        )
    return found


@cache
def build_template(currency: str, unit: str) -> dict[str, Any]:
    """Vega-Lite specification without rows. Charts share it: do not change it."""
    import altair as alt

    left, right, top = alt.param("left", 0), alt.param("right", 1), alt.param("top", 1)
    ticks = alt.param("ticks", [])
    x_axis = (
        alt.X("price:Q", title=f"Price, {currency}")
        .axis(values=alt.expr(ticks.name), titleAnchor="start", format=",d")
        .scale(domain=[alt.expr(left.name), alt.expr(right.name)], nice=False)
    )
    y_axis = (
        alt.Y("range:Q", title=None)
        .axis(tickCount=5)
        .scale(domain=[0, alt.expr(top.name)], nice=False)
    )
    base = alt.Chart(alt.NamedData("rows"))
    interval = base.mark_rule(color=theme.MUTED, strokeWidth=1).encode(
        x=x_axis, y=alt.Y("low:Q", title=None), y2="high:Q"
    )
    points = base.mark_point(size=55).encode(
        x=x_axis,
        y=y_axis,
        color=alt.Color("front:N", legend=None).scale(
            domain=list(KINDS), range=[theme.SERIES[1], theme.SERIES[0]]
        ),
        shape=alt.Shape("front:N", legend=None).scale(
            domain=list(KINDS), range=["diamond", "circle"]
        ),
    )
    marks = base.mark_text(align="right", baseline="middle", dx=-7).encode(
        x=x_axis, y=y_axis, text="mark:N"
    )
    chart = (
        alt.layer(interval, points, marks)
        .add_params(left, right, top, ticks)
        .properties(
            width=theme.WIDTH,
            height=HEIGHT,
            title=f"Range on the default route, {unit}",
            autosize=alt.AutoSizeParams(type="fit-x", contains="padding"),
        )
    )
    spec = chart.to_dict(validate=False)
    spec["config"] = theme.config()
    return spec


DRAWN = ("price", "range", "low", "high", "front", "mark")


def lay_out(rows: Sequence[ChartRow], system: System) -> VegaChart:
    """The chart for Vega, which may be slow here: there is one such chart per currency."""
    least = min(row["price"] for row in rows)
    most = max(row["price"] for row in rows)
    left, right = max(0, least - 0.06 * (most - least)), most * 1.05
    form = rows[0]["currency"], speed_and_distance_units(system)[3]
    values: dict[str, Any] = {
        "left": left,
        "right": right,
        "top": max(row["high"] for row in rows) * 1.05,
        "ticks": round_ticks(left, right),
    }
    drawn = [{key: row[key] for key in DRAWN} for row in rows]
    return VegaChart(
        partial(build_template, *form), "\n".join([_template_sources(), *form]), values, drawn
    )


@cache
def _template_sources() -> str:
    """Version and source code that the specification depends on."""
    sources = (Path(__file__), Path(str(theme.__file__)))
    return "\n".join([version("altair"), *(path.read_text("utf-8") for path in sources)])


def write_finding(rows: Sequence[ChartRow], system: System) -> str:
    """The bike that goes furthest, and whether it is also the dearest."""
    unit = speed_and_distance_units(system)[3]
    best = max(rows, key=lambda row: row["range"])
    dearest = max(rows, key=lambda row: row["price"])
    ending = (
        "and is the dearest of them"
        if best["name"] == dearest["name"]
        else f"and is not the dearest of them; {dearest['name']} is"
    )
    return f"{best['name']} goes furthest, about {best['range']:.0f} {unit}, {ending}."


def write_note(rows: Sequence[ChartRow], system: System) -> str:
    named = ", ".join(f"{row['mark']} {row['name']}" for row in rows if row["mark"])
    shown = (
        f"Shown are {len(rows)} of {rows[0]['all']:,} bikes: those with a number, and of the others some at every price. "
        if len(rows) < rows[0]["all"]
        else ""
    )
    return (
        f"{shown}Only bikes with a price in {rows[0]['currency']}. A numbered diamond goes further, by 3 % or "
        f"more, than every cheaper bike: {named}. The upright line through each mark is the interval."
    )


def build_table(rows: Sequence[ChartRow], system: System) -> tuple[list[str], list[list[str]]]:
    unit = speed_and_distance_units(system)[3]
    head = ["Bike", f"Price, {rows[0]['currency']}", f"Range, {unit}", f"Interval, {unit}"]
    body = [
        [
            row["name"],
            f"{row['price']:,}",
            f"{row['range']:.0f}",
            f"{row['low']:.0f}–{row['high']:.0f}",
        ]
        for row in rows
    ]
    return head, body


DEFINITION = ChartDefinition(
    "Price against range", select_rows, lay_out, write_finding, write_note, build_table
)
