"""Chart `gears.cadence_by_speed`: how fast the legs turn at each speed, one line for each gear."""

from collections.abc import Sequence

from generator.charts.definition import Plate
from generator.charts.drawing.lines import Kind, LineChart, line_chart, picked, pivot
from generator.charts.rows import Row, System, units
from generator.figures.table.figures_table import FiguresTable

FASTEST = 130
"""Cadence above which nothing is drawn: nobody pedals there. [rpm]"""


def rows(table: FiguresTable, slug: str, system: System) -> list[Row]:
    """Rows {series, place, speed, cadence [rpm], assisted}, for at most five gears."""
    factor = units(system)[0]
    found = table.curve(slug, "gears.cadence_by_speed")
    kept = picked(list(dict.fromkeys(row["gear"] for row in found)))
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


def kind(system: System) -> Kind:
    speed = units(system)[1]
    return Kind("speed", "cadence", f"Speed, {speed}", "Cadence, turns a minute, by gear", mark="x")


def layout(rows: Sequence[Row], system: System) -> LineChart:
    end = rows[0]["assisted"]
    mark = {"speed": end, "cadence": 0, "words": f"help ends, {end:g} {units(system)[1]}"}
    return line_chart(kind(system), rows, mark)


def finding(rows: Sequence[Row], system: System) -> str:
    """Says the cadence that the highest gear asks for where the motor's help ends."""
    last, end = rows[-1]["series"], rows[-1]["assisted"]
    line = sorted((row["speed"], row["cadence"]) for row in rows if row["series"] == last)
    cadence = end * line[-1][1] / line[-1][0]
    where = f"At {end:g} {units(system)[1]}, where the motor's help ends,"
    if cadence > FASTEST:
        return f"{where} even gear {last} asks for more than {FASTEST} turns a minute."
    return f"{where} gear {last} asks for {cadence:.0f} turns a minute."


def note(rows: Sequence[Row], system: System) -> str:
    names = list(dict.fromkeys(row["series"] for row in rows))
    many = f"Each line is one gear; drawn are {', '.join(names)}. " if len(names) > 1 else ""
    return f"{many}Above {FASTEST} turns a minute nothing is drawn."


def grid(rows: Sequence[Row], system: System) -> tuple[list[str], list[list[str]]]:
    speed_title = f"Speed, {units(system)[1]}"
    return pivot(rows, x="speed", y="cadence", x_title=speed_title, y_unit="rpm")


PLATE = Plate("Cadence against speed", rows, layout, finding, note, grid)
