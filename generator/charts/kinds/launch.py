"""Chart `assist.launch`: speed after setting off, at the lowest, middle and highest level and without the motor."""

from collections.abc import Sequence
from itertools import pairwise

from generator.charts.definition import ChartDefinition
from generator.charts.drawing.labels import group_by_series
from generator.charts.drawing.lines import LineChart, LineKind, lay_out_lines, pivot_rows
from generator.charts.drawing.theme import SERIES
from generator.charts.rows import ChartRow, System, level_name, speed_and_distance_units
from generator.figures.table.figures_table import FiguresTable

ALONE = "motor off"
"""Name of the series without a motor, drawn in ink."""
TIMES = (0, 1, 2, 3, 4, 6, 8, 10, 12, 14)
"""Times in the data table. [s]"""


def build_rows(table: FiguresTable, slug: str, system: System) -> list[ChartRow]:
    """Rows {series, place, time [s], speed, rider [W], goal, take_up [s], angle [rad]}, the motor off last.

    `goal` is the speed marked. `take_up` and `angle` are None if not known.
    """
    factor = speed_and_distance_units(system)[0]
    found = table.curve(slug, "assist.launch")
    goal = round(found[0]["goal"] * factor, 1) if found else 0.0
    lines = group_by_series(found, "level")
    alone = lines.pop(ALONE, [])
    places = [*enumerate(lines.items()), (len(SERIES) - 1, (ALONE, alone))]
    return [
        {
            "series": series,
            "place": place,
            "time": round(row["time"], 2),
            "speed": round(row["speed"] * factor, 2),
            "rider": round(row["rider_power"]),
            "goal": goal,
            "take_up": row.get("take_up_time"),
            "angle": row.get("take_up_angle"),
        }
        for place, (name, line) in places
        for series in (level_name(name),)
        for row in line
    ]


def line_kind(system: System) -> LineKind:
    speed = speed_and_distance_units(system)[1]
    return LineKind("time", "speed", "Time, s", f"Speed, {speed}", mark="y")


def lay_out(rows: Sequence[ChartRow], system: System) -> LineChart:
    goal = rows[0]["goal"]
    mark = {"time": 0, "speed": goal, "words": f"{goal:g} {speed_and_distance_units(system)[1]}"}
    return lay_out_lines(line_kind(system), rows, mark)


def find_goal_time(line: Sequence[ChartRow]) -> float | None:
    """Time at which a line passes the goal, interpolated between its rows; None if it does not. [s]"""
    for before, after in pairwise(line):
        if before["speed"] < before["goal"] <= after["speed"]:
            part = (before["goal"] - before["speed"]) / (after["speed"] - before["speed"])
            return float(before["time"] + part * (after["time"] - before["time"]))
    return None


def write_finding(rows: Sequence[ChartRow], system: System) -> str:
    """How soon the highest level and the legs alone reach the speed marked."""
    lines = group_by_series(rows)
    assisted = [name for name in lines if name != ALONE]
    goal = f"{rows[0]['goal']:g} {speed_and_distance_units(system)[1]}"
    last = assisted[-1]
    fastest = find_goal_time(lines[last])
    longest = max(row["time"] for row in rows)
    if fastest is None:
        return f"Even in {last} it takes more than {longest:.0f} s to {goal}."
    said = f"In {last} it takes {fastest:.1f} s to {goal}"
    alone = find_goal_time(lines[ALONE]) if ALONE in lines else None
    if alone is None:
        return f"{said}; with the motor off, more than {longest:.0f} s."
    return f"{said}; with the motor off, {alone:.1f} s."


def write_note(rows: Sequence[ChartRow], system: System) -> str:
    """How to read the chart, the rider's power, and when help comes."""
    firm = max(row["rider"] for row in rows)
    words = f"From rest on the flat. The rider comes to {firm:.0f} W and holds that throughout."
    if rows[0]["take_up"] is not None:
        words += f" In the middle level half of the motor's push is there after {rows[0]['take_up']:.1f} s"
        if rows[0]["angle"] is not None:
            words += f"; the crank turns {_format_degrees(rows[0]['angle'])} before it starts"
        words += "."
    return words


def _format_degrees(angle: float) -> str:
    return f"{angle * 180 / 3.141592653589793:.0f}°"


def build_table(rows: Sequence[ChartRow], system: System) -> tuple[list[str], list[list[str]]]:
    longest = max(row["time"] for row in rows)
    return pivot_rows(
        rows,
        x="time",
        y="speed",
        x_title="Time, s",
        y_unit=speed_and_distance_units(system)[1],
        places=[time for time in TIMES if time <= longest],
    )


DEFINITION = ChartDefinition(
    "Setting off", build_rows, lay_out, write_finding, write_note, build_table
)
