"""Diagram of assist levels: the motor's power against speed, for levels that limit speed, current or share, or multiply."""

from collections.abc import Callable, Sequence

from markupsafe import Markup

from generator.charts.drawing import svg_elements, theme
from generator.charts.drawing.lines import pick_evenly
from generator.charts.rows import ChartRow, System, level_name, speed_and_distance_units

MEANS = {
    "speed": "limit the speed",
    "current": "limit the current",
    "share": "cap the power",
    "ratio": "multiply your push",
}
TALL, GAP = 96, 14
RIGHT = theme.WIDTH - 74
"""Right edge of the plot area, left of the names of the levels. [px]"""
DASHES = ("", "7 3", "2 2", "9 3 2 3", "14 4")
EACH = 5
"""Step of the speeds in the data table. [km/h]"""


def draw_diagram(rows: Sequence[ChartRow], system: System) -> svg_elements.Diagram:
    faster, unit, _, _ = speed_and_distance_units(system)
    machines = list(dict.fromkeys(row["machine"] for row in rows))
    highest = svg_elements.round_up_top(max(row["power"] for row in rows))
    last = max(row["speed"] for row in rows) * faster
    across = svg_elements.make_scale(0.0, last, svg_elements.LEFT, RIGHT)
    shapes: list[Markup] = []
    floor = 0.0
    for place, machine in enumerate(machines):
        own = [row for row in rows if row["machine"] == machine]
        top = svg_elements.LINE + 4 + place * (TALL + GAP + svg_elements.LINE)
        floor = top + TALL
        up = svg_elements.make_scale(0.0, highest, floor, top)
        title = svg_elements.draw_words(svg_elements.LEFT, top - 5, _write_title(own))
        shapes += [
            svg_elements.draw_in_ink([title]),
            *svg_elements.draw_panel(top, floor, highest, "W", RIGHT),
        ]
        for number, name in enumerate(pick_evenly(_level_names(own))):
            points = [
                (across(row["speed"] * faster), up(row["power"]))
                for row in _select_level(own, name)
            ]
            colour = theme.SERIES[number]
            shapes.append(svg_elements.draw_line(points, colour, dash=DASHES[number]))
        shapes.append(_draw_labels(own, lambda speed: across(speed * faster), up, unit))
    marks = [
        svg_elements.draw_words(across(mark), floor + 18, f"{mark}", "middle")
        for mark in range(0, int(last) + 1, 10)
    ]
    shapes.append(
        svg_elements.draw_in_ink([*marks, svg_elements.draw_words(RIGHT + 6, floor + 18, unit)])
    )
    head, body = _build_table(rows, faster, unit)
    return svg_elements.Diagram(
        title="What a level means",
        height=round(floor + 24),
        shapes=shapes,
        finding=" ".join(
            _write_finding([row for row in rows if row["machine"] == machine], system)
            for machine in machines
        ),
        note=(
            "From left to right the bike rides faster; the height is the motor's power at the road while the rider gives "
            f"{rows[0]['effort']:.0f} W. Where a line falls to the floor the motor lets go."
        ),
        head=head,
        body=body,
    )


def _level_names(rows: Sequence[ChartRow]) -> list[str]:
    return list(dict.fromkeys(row["level"] for row in rows))


def _select_level(rows: Sequence[ChartRow], level: str) -> list[ChartRow]:
    return [row for row in rows if row["level"] == level]


def _write_title(rows: Sequence[ChartRow]) -> str:
    means = _limit_words(rows)
    return f"Levels that {' and '.join(means)}" if means else "Levels that set no limit"


def _limit_words(rows: Sequence[ChartRow]) -> list[str]:
    given = " ".join(sorted({row["means"] for row in rows})).split()
    return [words for name, words in MEANS.items() if name in given]


def _release_speed(rows: Sequence[ChartRow]) -> float:
    """Speed at which the motor has let go. [m/s]"""
    pulled = [place for place, row in enumerate(rows) if row["power"] >= 1.0]
    return float(rows[min(max(pulled, default=0) + 1, len(rows) - 1)]["speed"])


def _peak_power(rows: Sequence[ChartRow]) -> float:
    """Highest power of the motor. [W]"""
    return float(max(row["power"] for row in rows))


def _draw_labels(
    rows: Sequence[ChartRow],
    across: Callable[[float], float],
    up: Callable[[float], float],
    unit: str,
) -> Markup:
    """Name of each level: where its line falls to the floor if the levels let go one after another, else at its right."""
    names = pick_evenly(_level_names(rows))
    ends = {name: _release_speed(_select_level(rows, name)) for name in names}
    if (
        len(names) > 1
        and _limit_words(rows)[:1] == [MEANS["speed"]]
        and len(set(ends.values())) == len(names)
    ):
        told = {name: name.removesuffix(f" {unit}") for name in names}
        return svg_elements.draw_in_ink(
            [
                svg_elements.draw_words(across(ends[name]) - 8, up(0.0) - 5, told[name], "end")
                for name in names
            ]
        )
    placed, lowest = [], 1e9
    crests = {name: _peak_power(_select_level(rows, name)) for name in names}
    for name, power in sorted(crests.items(), key=lambda one: one[1]):
        lowest = min(up(power) + 5, lowest - 15)
        placed.append(svg_elements.draw_words(RIGHT + 6, lowest, level_name(name)))
    return svg_elements.draw_in_ink(placed)


def _write_finding(rows: Sequence[ChartRow], system: System) -> str:
    faster, unit, _, _ = speed_and_distance_units(system)
    names = _level_names(rows)
    lowest, highest = _select_level(rows, names[0]), _select_level(rows, names[-1])
    first, last = level_name(names[0]), level_name(names[-1])
    weak, strong = _peak_power(lowest), _peak_power(highest)
    if len(names) == 1:
        return f"There is one level; it gives up to {strong:.0f} W."
    if _limit_words(rows) == [MEANS["speed"]]:
        return (
            f"{_write_title(rows)} pull alike and let go one after another, "
            f"the first near {_release_speed(lowest) * faster:.0f} {unit}, "
            f"the last near {_release_speed(highest) * faster:.0f} {unit}."
        )
    return f"{_write_title(rows)}: {first} gives up to {weak:.0f} W, {last} up to {strong:.0f} W."


def _build_table(
    rows: Sequence[ChartRow], faster: float, unit: str
) -> tuple[list[str], list[list[str]]]:
    machines = list(dict.fromkeys(row["machine"] for row in rows))
    columns = sorted(
        {row["speed"] for row in rows if abs(row["speed"] * 3.6 / EACH % 1 - 0.5) > 0.49}
    )
    body = []
    for machine in machines:
        own = [row for row in rows if row["machine"] == machine]
        for name in _level_names(own):
            powers = {row["speed"]: row["power"] for row in _select_level(own, name)}
            cells = [svg_elements.format_number(powers[speed]) for speed in columns]
            body.append([level_name(name), *cells])
    return ["Level", *(f"W at {speed * faster:.3g} {unit}" for speed in columns)], body
