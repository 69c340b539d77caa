"""Chart `gears.cadence_by_speed`: how fast the legs turn at each speed, one line for each gear."""

from collections.abc import Sequence
from typing import Any

from generator.charts.lines import line_spec, picked, pivot
from generator.charts.plate import Plate, Row, System, units
from generator.figures.table import FiguresTable

FASTEST = 130
"""Cadence above which nothing is drawn: nobody pedals there. [rpm]"""


def rows(table: FiguresTable, slug: str, system: System) -> list[Row]:
    """Rows {series, speed, cadence [rpm]}, for at most five gears."""
    factor = units(system)[0]
    found = table.curve(slug, "gears.cadence_by_speed")
    kept = picked(list(dict.fromkeys(row["gear"] for row in found)))
    return [
        {
            "series": str(row["gear"]),
            "speed": round(row["speed"] * factor, 2),
            "cadence": round(row["cadence"] * 60, 1),
        }
        for row in found
        if row["gear"] in kept and row["cadence"] * 60 <= FASTEST
    ]


def spec(rows: Sequence[Row], system: System) -> dict[str, Any]:
    return line_spec(
        rows,
        x="speed",
        y="cadence",
        x_title=f"Speed, {units(system)[1]}",
        y_title="Cadence, turns a minute, by gear",
    )


def finding(rows: Sequence[Row], system: System) -> str:
    """Says the cadence that the highest gear asks for at the fastest speed drawn."""
    last = rows[-1]["series"]
    speed, cadence = max((row["speed"], row["cadence"]) for row in rows if row["series"] == last)
    return f"At {speed:.0f} {units(system)[1]} gear {last} asks for {cadence:.0f} turns a minute."


def note(rows: Sequence[Row], system: System) -> str:
    names = list(dict.fromkeys(row["series"] for row in rows))
    return f"Each line is one gear; drawn are {', '.join(names)}." if len(names) > 1 else ""


def grid(rows: Sequence[Row], system: System) -> tuple[list[str], list[list[str]]]:
    speed_title = f"Speed, {units(system)[1]}"
    return pivot(rows, x="speed", y="cadence", x_title=speed_title, y_unit="rpm")


PLATE = Plate("Cadence against speed", rows, spec, finding, note, grid)
