"""Chart `range.by_level`: range at each level on each route, bars from zero with intervals."""

from collections.abc import Sequence
from statistics import median
from typing import Any

from generator.charts import theme
from generator.charts.plate import Plate, Row, System, level_name, units
from generator.figures.table import FiguresTable

BAR = 20
"""Height given to one bar. [px]"""
LONGEST = 2.5
"""A bar longer than this many times the middle one is cut."""
BEYOND = "▸"
"""Marks a bar that is cut."""
LABEL_SHARE = 0.5
"""Share of the width kept free at the right for the labels."""


def rows(table: FiguresTable, slug: str, system: System) -> list[Row]:
    """Rows {level, route, range, low, high, words, to, from_, until}.

    The last three are what is drawn: an outlier is cut short, so that the other bars can be read.
    """
    factor, unit = units(system)[2:]
    found = table.curve(slug, "range.by_level")
    cut = factor * LONGEST * median([row["range"] for row in found]) if found else 0.0
    drawn = []
    for row in found:
        distance, low, high = (round(row[key] * factor, 1) for key in ("range", "low", "high"))
        words = f"{distance:.0f} {unit}, {row['route']}"
        drawn.append(
            {
                "level": level_name(row["level"]),
                "route": row["route"],
                "range": distance,
                "low": low,
                "high": high,
                "words": f"{BEYOND} {words}" if distance > cut else words,
                "to": min(distance, cut),
                "from_": min(low, cut),
                "until": min(high, cut),
            }
        )
    return drawn


def spec(rows: Sequence[Row], system: System) -> dict[str, Any]:
    import altair as alt

    levels = list(dict.fromkeys(row["level"] for row in rows))
    routes = list(dict.fromkeys(row["route"] for row in rows))
    edge = max(row["until"] for row in rows)
    wide = edge / (1 - LABEL_SHARE)
    step = next(size for size in (5, 10, 20, 25, 50, 100, 200, 500) if edge / size <= 4)
    colours = [theme.SERIES[index % len(theme.SERIES)] for index in range(len(routes))]

    slots = ["", *routes]  # the empty slot holds the level's name, over its bars

    def placed(source: str) -> alt.Chart:
        return alt.Chart(alt.NamedData(source)).encode(
            y=alt.Y("level:N", title=None, sort=None, axis=None).scale(
                paddingInner=0.12, paddingOuter=0.03, domain=levels
            ),
            yOffset=alt.YOffset("route:N", sort=slots).scale(domain=slots, paddingInner=0.2),
        )

    bars = (
        placed("rows")
        .mark_bar()
        .encode(
            x=alt.X("to:Q", title=f"Range, {units(system)[3]}")
            .axis(values=list(range(0, int(edge) + 1, step)), titleAnchor="start")
            .scale(domain=[0, wide], nice=False),
            color=alt.Color("route:N", legend=None).scale(domain=routes, range=colours),
        )
    )
    interval = placed("rows").mark_rule(color=theme.INK, strokeWidth=1.5)
    words = placed("rows").mark_text(align="left", baseline="middle", dx=5, limit=200)
    heads = placed("heads").mark_text(align="left", baseline="middle", fontWeight="bold")
    chart = alt.layer(
        bars,
        interval.encode(x="from_:Q", x2="until:Q"),
        words.encode(x="until:Q", text="words:N"),
        heads.encode(x="start:Q", text="level:N"),
    ).properties(
        width=theme.WIDTH,
        height=BAR * (len(rows) + len(levels)),
        autosize=alt.AutoSizeParams(type="fit-x", contains="padding"),
    )
    spec = chart.to_dict(validate=False)
    spec["config"] = theme.config()
    heads_rows = [{"level": level, "route": "", "start": 0} for level in levels]
    spec["datasets"] = {"rows": list(rows), "heads": heads_rows}
    return spec


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
    words = "The thin line over each bar is the interval: eight rides in ten end within it."
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
