"""Chart `gears.cadence_by_speed`: cadence against speed, one line for each gear."""

from collections.abc import Sequence

from generator.charts.definition import ChartDefinition
from generator.charts.drawing.lines import (
    LineChart,
    LineKind,
    lay_out_lines,
    pick_evenly,
    pivot_rows,
)
from generator.charts.rows import ChartRow, System, speed_and_distance_units
from generator.figures.table.figures_table import FiguresTable

FASTEST = 130
"""Cadence above which nothing is drawn, as nobody pedals that fast. [rpm]"""


def build_rows(table: FiguresTable, slug: str, system: System) -> list[ChartRow]:
    """Rows {series, place, speed, cadence [rpm], assisted}, for at most five gears."""
    factor = speed_and_distance_units(system)[0]
    found = table.curve(slug, "gears.cadence_by_speed")
    kept = pick_evenly(list(dict.fromkeys(row["gear"] for row in found)))
    return [
        {
            "series": str(row["gear"]),
            "place": kept.index(row["gear"]),
            "speed": round(row["speed"] * factor, 2),
            "cadence": round(row["cadence"] * 60, 1),
            "assisted": round(row["assisted"] * factor, 1),
        }
        for row in found
        if row["gear"] in kept and row["cadence"] * 60 <= FASTEST
    ]


def line_kind(system: System) -> LineKind:
    speed = speed_and_distance_units(system)[1]
    return LineKind(
        "speed", "cadence", f"Speed, {speed}", "Cadence, turns a minute, by gear", mark="x"
    )


def lay_out(rows: Sequence[ChartRow], system: System) -> LineChart:
    end = rows[0]["assisted"]
    mark = {
        "speed": end,
        "cadence": 0,
        "words": f"help ends, {end:g} {speed_and_distance_units(system)[1]}",
    }
    return lay_out_lines(line_kind(system), rows, mark)


def write_finding(rows: Sequence[ChartRow], system: System) -> str:
    """The cadence of the highest gear at the speed where the motor's help ends."""
    last, end = rows[-1]["series"], rows[-1]["assisted"]
    line = sorted((row["speed"], row["cadence"]) for row in rows if row["series"] == last)
    cadence = end * line[-1][1] / line[-1][0]
    where = f"At {end:g} {speed_and_distance_units(system)[1]}, where the motor's help ends,"
    if cadence > FASTEST:
        return f"{where} even gear {last} asks for more than {FASTEST} turns a minute."
    return f"{where} gear {last} asks for {cadence:.0f} turns a minute."


def write_note(rows: Sequence[ChartRow], system: System) -> str:
    names = list(dict.fromkeys(row["series"] for row in rows))
    many = f"Each line is one gear; drawn are {', '.join(names)}. " if len(names) > 1 else ""
    return f"{many}Above {FASTEST} turns a minute nothing is drawn."


def build_table(rows: Sequence[ChartRow], system: System) -> tuple[list[str], list[list[str]]]:
    speed_title = f"Speed, {speed_and_distance_units(system)[1]}"
    return pivot_rows(rows, x="speed", y="cadence", x_title=speed_title, y_unit="rpm")


DEFINITION = ChartDefinition(
    "Cadence against speed", build_rows, lay_out, write_finding, write_note, build_table
)
