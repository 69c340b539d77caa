"""Chart `range.by_level`: range at each level on each route, bars from zero with intervals."""

from collections.abc import Sequence
from functools import cache
from statistics import median
from typing import Any

from generator.charts import theme
from generator.charts.labels import LETTER
from generator.charts.lines import filled
from generator.charts.plate import Plate, Row, System, level_name, units
from generator.figures.table import FiguresTable

BAR = 20
"""Height given to one bar. [px]"""
LONGEST = 2.5
"""A bar longer than this many times the middle one is cut."""
BEYOND = "▸"
"""Marks a bar that is cut."""
ACROSS = theme.WIDTH - 12
"""About the width of the plotted ground. [px]"""


def rows(table: FiguresTable, slug: str, system: System) -> list[Row]:
    """Rows {level, route, range, low, high, words, to, from_, until, place, slot}.

    `to`, `from_` and `until` are what is drawn: an outlier is cut short, so that the other bars can be read. `place`
    and `slot` number level and route.
    """
    factor, unit = units(system)[2:]
    found = table.curve(slug, "range.by_level")
    cut = factor * LONGEST * median([row["range"] for row in found]) if found else 0.0
    levels = list(dict.fromkeys(row["level"] for row in found))
    routes = list(dict.fromkeys(row["route"] for row in found))
    drawn = []
    for row in found:
        distance, low, high = (row[key] * factor for key in ("range", "low", "high"))
        words = f"{distance:.0f} {unit}, {row['route']}"
        drawn.append(
            {
                "level": level_name(row["level"]),
                "route": row["route"],
                "range": distance,
                "low": low,
                "high": high,
                "words": f"{BEYOND} {words}" if distance > cut else words,
                "to": round(min(distance, cut), 1),
                "from_": round(min(low, cut), 1),
                "until": round(min(high, cut), 1),
                "place": levels.index(row["level"]),
                "slot": routes.index(row["route"]),
            }
        )
    return drawn


@cache
def template(levels: int, routes: int, unit: str) -> dict[str, Any]:
    """Vega-Lite without rows for so many levels and routes. Not to be changed: charts share it."""
    import altair as alt

    colours = [theme.SERIES[index % len(theme.SERIES)] for index in range(routes)]
    slots = list(range(-1, routes))  # the first slot holds the level's name, over its bars
    wide, ticks = alt.param("wide", 1), alt.param("ticks", [])

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
            x=alt.X("to:Q", title=f"Range, {unit}")
            .axis(values=alt.expr(ticks.name), titleAnchor="start")
            .scale(domain=[0, alt.expr(wide.name)], nice=False),
            color=alt.Color("slot:N", legend=None).scale(domain=list(range(routes)), range=colours),
        )
    )
    interval = placed("rows").mark_rule(color=theme.INK, strokeWidth=1.5)
    words = placed("rows").mark_text(align="left", baseline="middle", dx=5, limit=200)
    heads = placed("heads").mark_text(align="left", baseline="middle", fontWeight="bold")
    chart = (
        alt.layer(
            bars,
            interval.encode(x="from_:Q", x2="until:Q"),
            words.encode(x="until:Q", text="words:N"),
            heads.encode(x="start:Q", text="level:N"),
        )
        .add_params(wide, ticks)
        .properties(
            width=theme.WIDTH,
            height=BAR * (levels * routes + levels),
            autosize=alt.AutoSizeParams(type="fit-x", contains="padding"),
        )
    )
    spec = chart.to_dict(validate=False)
    spec["config"] = theme.config()
    return spec


DRAWN = ("to", "from_", "until", "words", "place", "slot")


def _room(row: Row) -> float:
    """What the ground must reach to for a bar's words to stand beside it."""
    return (
        float(row["until"]) * ACROSS / (ACROSS - 8 - min(LETTER * len(row["words"]), ACROSS / 1.5))
    )


def spec(rows: Sequence[Row], system: System) -> dict[str, Any]:
    levels = list(dict.fromkeys(row["level"] for row in rows))
    edge = max(row["until"] for row in rows)
    step = next(size for size in (5, 10, 20, 25, 50, 100, 200, 500) if edge / size <= 4)
    ticks = list(range(0, int(edge) + 1, step))
    heads = [
        {"level": level, "place": place, "slot": -1, "start": 0}
        for place, level in enumerate(levels)
    ]
    return filled(
        template(len(levels), len({row["slot"] for row in rows}), units(system)[3]),
        {"wide": max(map(_room, rows)), "ticks": ticks},
        {"rows": [{key: row[key] for key in DRAWN} for row in rows], "heads": heads},
    )


def finding(rows: Sequence[Row], system: System) -> str:
    """Names the longest and the shortest of the bars."""
    unit = units(system)[3]
    far = max(rows, key=lambda row: row["range"])
    near = min(rows, key=lambda row: row["range"])
    if far == near:
        return f"It goes about {far['range']:.0f} {unit} in {far['level']}, {far['route']}."
    return (
        f"From about {near['range']:.0f} {unit} ({near['level']}, {near['route']}) "
        f"to about {far['range']:.0f} {unit} ({far['level']}, {far['route']})."
    )


def note(rows: Sequence[Row], system: System) -> str:
    words = "The thin line is the interval: eight rides in ten end within it."
    if any(row["words"].startswith(BEYOND) for row in rows):
        words += f" A bar marked {BEYOND} is cut short: there the motor hardly helps at all."
    return words


def grid(rows: Sequence[Row], system: System) -> tuple[list[str], list[list[str]]]:
    unit = units(system)[3]
    head = ["Level", "Route", f"Range, {unit}", f"Interval, {unit}"]
    body = [
        [row["level"], row["route"], f"{row['range']:.0f}", f"{row['low']:.0f}–{row['high']:.0f}"]
        for row in rows
    ]
    return head, body


PLATE = Plate("Range at each level", rows, spec, finding, note, grid)
