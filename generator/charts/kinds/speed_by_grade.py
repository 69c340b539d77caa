"""Chart `hills.speed_by_grade`: steady speed against grade, one line for each level."""

from collections.abc import Sequence

from generator.charts.definition import ChartDefinition
from generator.charts.drawing.lines import (
    LineChart,
    LineKind,
    lay_out_lines,
    pick_evenly,
    pivot_rows,
)
from generator.charts.rows import ChartRow, System, level_name, speed_and_distance_units
from generator.figures.table.figures_table import FiguresTable


def build_rows(table: FiguresTable, slug: str, system: System) -> list[ChartRow]:
    """Rows {series, place, grade [%], speed, low, high}, for at most five levels."""
    factor = speed_and_distance_units(system)[0]
    found = table.curve(slug, "hills.speed_by_grade")
    kept = pick_evenly(list(dict.fromkeys(row["level"] for row in found)))
    drawn = {level: (level_name(level), place) for place, level in enumerate(kept)}
    return [
        {
            "series": drawn[row["level"]][0],
            "place": drawn[row["level"]][1],
            "grade": round(row["grade"] * 100, 2),
            "speed": round(row["speed"] * factor, 2),
            "low": round(row["low"] * factor, 2),
            "high": round(row["high"] * factor, 2),
        }
        for row in found
        if row["level"] in drawn
    ]


def line_kind(system: System) -> LineKind:
    return LineKind(
        "grade", "speed", "Grade, %", f"Speed, {speed_and_distance_units(system)[1]}", band=True
    )


def lay_out(rows: Sequence[ChartRow], system: System) -> LineChart:
    return lay_out_lines(line_kind(system), rows)


def write_finding(rows: Sequence[ChartRow], system: System) -> str:
    """Speeds of the strongest and of the weakest level at the grade nearest to 10 %."""
    unit = speed_and_distance_units(system)[1]
    grade = min((row["grade"] for row in rows), key=lambda value: abs(value - 10))
    at = {row["series"]: row["speed"] for row in rows if row["grade"] == grade}
    first, last = rows[0]["series"], rows[-1]["series"]
    if first == last or last not in at or first not in at:
        return f"On a {grade:g} % grade it settles at {at[last]:.0f} {unit}."
    return (
        f"On a {grade:g} % grade it settles at {at[last]:.0f} {unit} in {last} "
        f"and at {at[first]:.0f} {unit} in {first}."
    )


def write_note(rows: Sequence[ChartRow], system: System) -> str:
    return (
        f"Each line is one level. The band is the interval of {rows[-1]['series']}: "
        "eight times in ten the speed lies within it."
    )


def build_table(rows: Sequence[ChartRow], system: System) -> tuple[list[str], list[list[str]]]:
    return pivot_rows(
        rows, x="grade", y="speed", x_title="Grade, %", y_unit=speed_and_distance_units(system)[1]
    )


DEFINITION = ChartDefinition(
    "Speed against grade", build_rows, lay_out, write_finding, write_note, build_table
)
