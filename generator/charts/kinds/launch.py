"""Chart `assist.launch`: speed after setting off, at the lowest, middle and highest level and without the motor."""

from collections.abc import Sequence
from itertools import pairwise

from generator.charts.definition import Plate
from generator.charts.drawing.labels import by_series
from generator.charts.drawing.lines import Kind, LineChart, line_chart, pivot
from generator.charts.drawing.theme import SERIES
from generator.charts.rows import Row, System, level_name, units
from generator.figures.table.figures_table import FiguresTable

ALONE = "motor off"
"""The series without a motor; drawn in ink."""
TIMES = (0, 1, 2, 3, 4, 6, 8, 10, 12, 14)
"""Lines of the table. [s]"""


def rows(table: FiguresTable, slug: str, system: System) -> list[Row]:
    """Rows {series, place, time [s], speed, rider [W], goal, take_up [s], angle [°]}, the motor off last.

    `goal` is the speed marked. What help's coming needs is None where it is not known.
    """
    factor = units(system)[0]
    found = table.curve(slug, "assist.launch")
    goal = round(found[0]["goal"] * factor, 1) if found else 0.0
    lines = by_series(found, "level")
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


def kind(system: System) -> Kind:
    speed = units(system)[1]
    return Kind("time", "speed", "Time, s", f"Speed, {speed}", mark="y")


def layout(rows: Sequence[Row], system: System) -> LineChart:
    goal = rows[0]["goal"]
    mark = {"time": 0, "speed": goal, "words": f"{goal:g} {units(system)[1]}"}
    return line_chart(kind(system), rows, mark)


def reached(line: Sequence[Row]) -> float | None:
    """When a line passes the goal, read between its rows; None if it does not. [s]"""
    for before, after in pairwise(line):
        if before["speed"] < before["goal"] <= after["speed"]:
            part = (before["goal"] - before["speed"]) / (after["speed"] - before["speed"])
            return float(before["time"] + part * (after["time"] - before["time"]))
    return None


def finding(rows: Sequence[Row], system: System) -> str:
    """Says how soon the highest level and the legs alone reach the speed marked."""
    lines = by_series(rows)
    assisted = [name for name in lines if name != ALONE]
    goal = f"{rows[0]['goal']:g} {units(system)[1]}"
    last = assisted[-1]
    fastest = reached(lines[last])
    longest = max(row["time"] for row in rows)
    if fastest is None:
        return f"Even in {last} it takes more than {longest:.0f} s to {goal}."
    said = f"In {last} it takes {fastest:.1f} s to {goal}"
    alone = reached(lines[ALONE]) if ALONE in lines else None
    if alone is None:
        return f"{said}; with the motor off, more than {longest:.0f} s."
    return f"{said}; with the motor off, {alone:.1f} s."


def note(rows: Sequence[Row], system: System) -> str:
    """How to read it, what the rider gives, and when help comes."""
    firm = max(row["rider"] for row in rows)
    words = f"From rest on the flat. The rider comes to {firm:.0f} W and holds that throughout."
    if rows[0]["take_up"] is not None:
        words += f" In the middle level half of the motor's push is there after {rows[0]['take_up']:.1f} s"
        if rows[0]["angle"] is not None:
            words += f"; the crank turns {_degrees(rows[0]['angle'])} before it starts"
        words += "."
    return words


def _degrees(angle: float) -> str:
    return f"{angle * 180 / 3.141592653589793:.0f}°"


def grid(rows: Sequence[Row], system: System) -> tuple[list[str], list[list[str]]]:
    longest = max(row["time"] for row in rows)
    return pivot(
        rows,
        x="time",
        y="speed",
        x_title="Time, s",
        y_unit=units(system)[1],
        places=[time for time in TIMES if time <= longest],
    )


PLATE = Plate("Setting off", rows, layout, finding, note, grid)
