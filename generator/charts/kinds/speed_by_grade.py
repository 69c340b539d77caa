"""Chart `hills.speed_by_grade`: steady speed against grade, one line for each level."""

from collections.abc import Sequence

from generator.charts.definition import Plate
from generator.charts.drawing.lines import Kind, LineChart, line_chart, picked, pivot
from generator.charts.rows import Row, System, level_name, units
from generator.figures.table.figures_table import FiguresTable


def rows(table: FiguresTable, slug: str, system: System) -> list[Row]:
    """Rows {series, place, grade [%], speed, low, high}, for at most five levels."""
    factor = units(system)[0]
    found = table.curve(slug, "hills.speed_by_grade")
    kept = picked(list(dict.fromkeys(row["level"] for row in found)))
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


def kind(system: System) -> Kind:
    return Kind("grade", "speed", "Grade, %", f"Speed, {units(system)[1]}", band=True)


def layout(rows: Sequence[Row], system: System) -> LineChart:
    return line_chart(kind(system), rows)


def finding(rows: Sequence[Row], system: System) -> str:
    """Compares the strongest level with the weakest at the grade nearest to 10 %."""
    unit = units(system)[1]
    grade = min((row["grade"] for row in rows), key=lambda value: abs(value - 10))
    at = {row["series"]: row["speed"] for row in rows if row["grade"] == grade}
    first, last = rows[0]["series"], rows[-1]["series"]
    if first == last or last not in at or first not in at:
        return f"On a {grade:g} % grade it settles at {at[last]:.0f} {unit}."
    return (
        f"On a {grade:g} % grade it settles at {at[last]:.0f} {unit} in {last} "
        f"and at {at[first]:.0f} {unit} in {first}."
    )


def note(rows: Sequence[Row], system: System) -> str:
    return (
        f"Each line is one level. The band is the interval of {rows[-1]['series']}: "
        "eight times in ten the speed lies within it."
    )


def grid(rows: Sequence[Row], system: System) -> tuple[list[str], list[list[str]]]:
    return pivot(rows, x="grade", y="speed", x_title="Grade, %", y_unit=units(system)[1])


PLATE = Plate("Speed against grade", rows, layout, finding, note, grid)
