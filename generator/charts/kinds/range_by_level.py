"""Chart `range.by_level`: range at each level on each route, as bars from zero with intervals."""

from collections.abc import Sequence
from statistics import median

from generator.charts.definition import ChartDefinition
from generator.charts.drawing import theme
from generator.charts.drawing.bars import BarChart
from generator.charts.drawing.labels import LETTER
from generator.charts.rows import ChartRow, System, level_name, speed_and_distance_units
from generator.figures.table.figures_table import FiguresTable

LONGEST = 2.5
"""Ratio to the median range beyond which a bar is cut."""
BEYOND = "▸"
"""Sign before the words of a bar that is cut."""
ACROSS = theme.WIDTH - 12
"""About the width of the plot area. [px]"""


def build_rows(table: FiguresTable, slug: str, system: System) -> list[ChartRow]:
    """Rows {level, route, range, low, high, words, to, from_, until, place, slot}, ranges in the system's unit.

    `to`, `from_` and `until` are range, low and high as drawn: outliers are cut, so that the other bars can be read.
    `place` and `slot` number level and route.
    """
    factor, unit = speed_and_distance_units(system)[2:]
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


def _needed_width(row: ChartRow) -> float:
    """Value that the axis must reach to leave room for the words beside a bar."""
    return (
        float(row["until"]) * ACROSS / (ACROSS - 8 - min(LETTER * len(row["words"]), ACROSS / 1.5))
    )


def lay_out(rows: Sequence[ChartRow], system: System) -> BarChart:
    edge = max(row["until"] for row in rows)
    step = next(size for size in (5, 10, 20, 25, 50, 100, 200, 500) if edge / size <= 4)
    return BarChart(
        title=f"Range, {speed_and_distance_units(system)[3]}",
        groups=list(dict.fromkeys(row["level"] for row in rows)),
        bars=rows,
        wide=max(map(_needed_width, rows)),
        ticks=list(range(0, int(edge) + 1, step)),
    )


def write_finding(rows: Sequence[ChartRow], system: System) -> str:
    """The longest and the shortest range."""
    unit = speed_and_distance_units(system)[3]
    far = max(rows, key=lambda row: row["range"])
    near = min(rows, key=lambda row: row["range"])
    if far == near:
        return f"It goes about {far['range']:.0f} {unit} in {far['level']}, {far['route']}."
    return (
        f"From about {near['range']:.0f} {unit} ({near['level']}, {near['route']}) "
        f"to about {far['range']:.0f} {unit} ({far['level']}, {far['route']})."
    )


def write_note(rows: Sequence[ChartRow], system: System) -> str:
    words = "The thin line is the interval: eight rides in ten end within it."
    if any(row["words"].startswith(BEYOND) for row in rows):
        words += f" A bar marked {BEYOND} is cut short: there the motor hardly helps at all."
    return words


def build_table(rows: Sequence[ChartRow], system: System) -> tuple[list[str], list[list[str]]]:
    unit = speed_and_distance_units(system)[3]
    head = ["Level", "Route", f"Range, {unit}", f"Interval, {unit}"]
    body = [
        [row["level"], row["route"], f"{row['range']:.0f}", f"{row['low']:.0f}–{row['high']:.0f}"]
        for row in rows
    ]
    return head, body


DEFINITION = ChartDefinition(
    "Range at each level", build_rows, lay_out, write_finding, write_note, build_table
)
