"""Chart `assist.motor_by_rider`: motor power against the rider's, one line for each level."""

from collections.abc import Sequence

from generator.charts.definition import ChartDefinition
from generator.charts.drawing.lines import (
    LineChart,
    LineKind,
    lay_out_lines,
    pick_evenly,
    pivot_rows,
)
from generator.charts.rows import ChartRow, System, level_name
from generator.figures.table.figures_table import FiguresTable


def build_rows(table: FiguresTable, slug: str, system: System) -> list[ChartRow]:
    """Rows {series, place, rider [W], motor [W]}, for at most five levels."""
    found = table.curve(slug, "assist.motor_by_rider")
    kept = pick_evenly(list(dict.fromkeys(row["level"] for row in found)))
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


def line_kind(system: System) -> LineKind:
    return LineKind("rider", "motor", "Rider's power, W", "Motor's power, W")


def lay_out(rows: Sequence[ChartRow], system: System) -> LineChart:
    return lay_out_lines(line_kind(system), rows)


def write_finding(rows: Sequence[ChartRow], system: System) -> str:
    """What the strongest level adds at the gentlest and at the firmest push drawn."""
    last = rows[-1]["series"]
    line = sorted((row["rider"], row["motor"]) for row in rows if row["series"] == last)
    (soft, little), (hard, much) = line[0], line[-1]
    if abs(much - little) < 0.05 * max(much, 1):
        return f"In {last} the motor gives about {much:.0f} W however hard the rider pushes."
    return (
        f"In {last} the motor gives {little:.0f} W when the rider gives {soft:.0f} W, "
        f"and {much:.0f} W when the rider gives {hard:.0f} W."
    )


def write_note(rows: Sequence[ChartRow], system: System) -> str:
    return (
        "Each line is one level, at a steady speed below its limit. A flat line does not feel how hard one pushes; "
        "a rising one does."
    )


def build_table(rows: Sequence[ChartRow], system: System) -> tuple[list[str], list[list[str]]]:
    return pivot_rows(rows, x="rider", y="motor", x_title="Rider, W", y_unit="W")


DEFINITION = ChartDefinition(
    "Motor power against rider power", build_rows, lay_out, write_finding, write_note, build_table
)
