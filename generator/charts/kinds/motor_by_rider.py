"""Chart `assist.motor_by_rider`: motor power against the rider's, one line for each level."""

from collections.abc import Sequence

from generator.charts.definition import Plate
from generator.charts.drawing.lines import Kind, LineChart, line_chart, picked, pivot
from generator.charts.rows import Row, System, level_name
from generator.figures.table.figures_table import FiguresTable


def rows(table: FiguresTable, slug: str, system: System) -> list[Row]:
    """Rows {series, place, rider [W], motor [W]}, for at most five levels."""
    found = table.curve(slug, "assist.motor_by_rider")
    kept = picked(list(dict.fromkeys(row["level"] for row in found)))
    return [
        {
            "series": level_name(row["level"]),
            "place": kept.index(row["level"]),
            "rider": round(row["rider_power"], 1),
            "motor": round(row["motor_power"], 1),
        }
        for row in found
        if row["level"] in kept
    ]


def kind(system: System) -> Kind:
    return Kind("rider", "motor", "Rider's power, W", "Motor's power, W")


def layout(rows: Sequence[Row], system: System) -> LineChart:
    return line_chart(kind(system), rows)


def finding(rows: Sequence[Row], system: System) -> str:
    """Says how much the strongest level adds between the gentlest and the firmest push drawn."""
    last = rows[-1]["series"]
    line = sorted((row["rider"], row["motor"]) for row in rows if row["series"] == last)
    (soft, little), (hard, much) = line[0], line[-1]
    if abs(much - little) < 0.05 * max(much, 1):
        return f"In {last} the motor gives about {much:.0f} W however hard the rider pushes."
    return (
        f"In {last} the motor gives {little:.0f} W when the rider gives {soft:.0f} W, "
        f"and {much:.0f} W when the rider gives {hard:.0f} W."
    )


def note(rows: Sequence[Row], system: System) -> str:
    return (
        "Each line is one level, at a steady speed below its limit. A flat line does not feel how hard one pushes; "
        "a rising one does."
    )


def grid(rows: Sequence[Row], system: System) -> tuple[list[str], list[list[str]]]:
    return pivot(rows, x="rider", y="motor", x_title="Rider, W", y_unit="W")


PLATE = Plate("Motor power against rider power", rows, layout, finding, note, grid)
