"""Data of a chart as columns for the browser: in SI, money in its currency, with the series of the still picture.

Keys: `series`, their names; `place`, the numbers of their colours; `x`, `y`, `low` and `high`, a list for each series;
and for some forms `mark`, the value marked; `names` of the values of x; `cut`, where long bars end; `bikes` and their
`slugs`, for points.
"""

from collections.abc import Callable
from statistics import median
from typing import Any

from generator.charts import embed
from generator.charts.kinds import price_against_range
from generator.charts.kinds.range_by_level import LONGEST
from generator.charts.rows import ChartRow, level_name
from generator.figures.table.figures_table import FiguresTable

Columns = dict[str, Any]

MARKS = {"assist.launch": "goal", "gears.cadence_by_speed": "assisted"}
"""Key in a curve's rows of the value that a chart marks, by the chart's name."""


def build_columns(table: FiguresTable, slug: str, name: str) -> Columns | None:
    """Columns of one chart; None if it has no rows."""
    if name == "price.range":
        points = price_against_range.build_rows(table, slug, "metric")
        return _build_point_columns(table, points) if points else None
    rows = embed.find_definition(name).rows(table, slug, "metric")
    if not rows:
        return None
    found = table.curve(slug, name)
    if name == "range.by_level":
        return _build_bar_columns(found)
    return _LINES[name](found, rows) | _marked_value(found, name)


def _marked_value(found: list[ChartRow], name: str) -> Columns:
    return {"mark": found[0][MARKS[name]]} if name in MARKS else {}


def _make_line_columns(
    x: str, y: str, group: str = "level"
) -> Callable[[list[ChartRow], list[ChartRow]], Columns]:
    """A function from a curve's rows, and those of the still picture, which give the series, to columns."""

    def build(found: list[ChartRow], drawn: list[ChartRow]) -> Columns:
        places = {row["series"]: row["place"] for row in drawn}
        lines: dict[str, list[ChartRow]] = {series: [] for series in places}
        for row in found:
            name = level_name(row[group]) if group == "level" else str(row[group])
            if name in lines:
                lines[name].append(row)
        keys = [("x", x), ("y", y)] + [(key, key) for key in ("low", "high") if key in found[0]]
        return {
            "series": list(places),
            "place": list(places.values()),
            **{to: [[row[key] for row in line] for line in lines.values()] for to, key in keys},
        }

    return build


_LINES = {
    "hills.speed_by_grade": _make_line_columns("grade", "speed"),
    "assist.motor_by_rider": _make_line_columns("rider_power", "motor_power"),
    "assist.launch": _make_line_columns("time", "speed"),
    "gears.cadence_by_speed": _make_line_columns("speed", "cadence", "gear"),
}


def _build_bar_columns(found: list[ChartRow]) -> Columns:
    levels = list(dict.fromkeys(row["level"] for row in found))
    routes = list(dict.fromkeys(row["route"] for row in found))
    lines = [[row for row in found if row["route"] == route] for route in routes]
    return {
        "series": routes,
        "place": list(range(len(routes))),
        "names": [level_name(level) for level in levels],
        "x": [[levels.index(row["level"]) for row in line] for line in lines],
        **{
            to: [[row[key] for row in line] for line in lines]
            for to, key in (("y", "range"), ("low", "low"), ("high", "high"))
        },
        "cut": LONGEST * median(row["range"] for row in found),
    }


def _build_point_columns(table: FiguresTable, rows: list[ChartRow]) -> Columns:
    ranges = price_against_range.find_ranges(table)
    groups = [[row for row in rows if row["front"] == kind] for kind in price_against_range.KINDS]
    given = [(place, group) for place, group in enumerate(groups) if group]
    figures = [[ranges[row["slug"]] for row in group] for _, group in given]
    return {
        "series": [group[0]["front"] for _, group in given],
        "place": [place for place, _ in given],
        "bikes": [[row["name"] for row in group] for _, group in given],
        "slugs": [[row["slug"] for row in group] for _, group in given],
        "x": [[row["price"] for row in group] for _, group in given],
        "y": [[figure.value for figure in group] for group in figures],
        "low": [[figure.low for figure in group] for group in figures],
        "high": [[figure.high for figure in group] for group in figures],
    }
