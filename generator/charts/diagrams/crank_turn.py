"""Diagram of one turn of the crank: power of the legs, and of the motor under each assist law."""

from collections.abc import Callable, Sequence
from math import degrees

from markupsafe import Markup

from generator.charts.drawing import svg_elements, theme
from generator.charts.rows import ChartRow, System, speed_and_distance_units

TITLES = {
    "legs": "Your legs",
    "cadence": "Motor, cadence sensor",
    "quick": "Motor, torque sensor, quick average",
    "calm": "Motor, torque sensor, half-turn average",
    "throttle": "Motor, throttle at the same level",
}
COLOURS = {
    "legs": theme.SERIES[1],
    "cadence": theme.SERIES[0],
    "quick": theme.SERIES[0],
    "calm": theme.SERIES[0],
    "throttle": theme.SERIES[0],
}
TALL, GAP, TOP = 52, 12, 40
"""Height of a panel, the space under it, and where the first begins. [px]"""
STATIONS = ("upright", "level", "upright", "level", "upright")
EACH, HALF = 30, 180
"""Step and end of the angles in the data table; the second half turn is like the first. [°]"""


def draw_diagram(rows: Sequence[ChartRow], system: System) -> svg_elements.Diagram:
    laws = [law for law in TITLES if any(row["law"] == law for row in rows)]
    pushes = sorted({row["push"] for row in rows}, reverse=True)
    highest = svg_elements.round_up_top(max(row["power"] for row in rows))
    across = svg_elements.make_scale(0.0, 360.0, svg_elements.LEFT, svg_elements.RIGHT)
    shapes = _draw_key(pushes)
    floor = 0.0
    for place, law in enumerate(laws):
        top = TOP + svg_elements.LINE + place * (TALL + GAP + svg_elements.LINE)
        floor = top + TALL
        shapes.append(
            svg_elements.draw_in_ink(
                [svg_elements.draw_words(svg_elements.LEFT, top - 5, TITLES[law])]
            )
        )
        shapes += svg_elements.draw_panel(top, floor, highest, "W")
        up = svg_elements.make_scale(0.0, highest, floor, top)
        for number, push in enumerate(pushes):
            points = [
                (across(degrees(row["angle"])), up(row["power"]))
                for row in _select_rows(rows, law, push)
            ]
            colour = COLOURS[law] if number == 0 else theme.INK
            if number == 0:
                shapes.append(svg_elements.draw_area(points, floor, COLOURS[law]))
            shapes.append(
                svg_elements.draw_line(points, colour, dash=svg_elements.DASH if number else "")
            )
    shapes += _draw_stations(floor, across)
    head, body = _build_table(rows, laws, pushes)
    return svg_elements.Diagram(
        title="One turn of the crank",
        height=round(floor + 24),
        shapes=shapes,
        finding=_write_finding(rows, laws, pushes),
        note=_write_note(rows, pushes, system),
        head=head,
        body=body,
    )


def _select_rows(rows: Sequence[ChartRow], law: str, push: float) -> list[ChartRow]:
    return [row for row in rows if row["law"] == law and row["push"] == push]


def _draw_key(pushes: Sequence[float]) -> list[Markup]:
    hard, soft = pushes[0], pushes[-1]
    return [
        svg_elements.draw_line(
            [(svg_elements.LEFT, 10), (svg_elements.LEFT + 26, 10)], theme.SERIES[0]
        ),
        svg_elements.draw_line(
            [(svg_elements.LEFT + 138, 10), (svg_elements.LEFT + 164, 10)],
            theme.INK,
            dash=svg_elements.DASH,
        ),
        svg_elements.draw_in_ink(
            [
                svg_elements.draw_words(svg_elements.LEFT + 31, 15, f"hard, {hard:.0f} W"),
                svg_elements.draw_words(svg_elements.LEFT + 169, 15, f"soft, {soft:.0f} W"),
            ]
        ),
    ]


def _draw_stations(floor: float, across: Callable[[float], float]) -> list[Markup]:
    named = []
    for place, name in enumerate(STATIONS):
        anchor = "" if place == 0 else "end" if place == len(STATIONS) - 1 else "middle"
        named.append(svg_elements.draw_words(across(90.0 * place), floor + 18, name, anchor))
    return [svg_elements.draw_in_ink(named)]


def _power_extremes(rows: Sequence[ChartRow], law: str, push: float) -> tuple[float, float]:
    powers = [row["power"] for row in _select_rows(rows, law, push)]
    return min(powers), max(powers)


def _write_finding(rows: Sequence[ChartRow], laws: Sequence[str], pushes: Sequence[float]) -> str:
    hard, soft = pushes[0], pushes[-1]
    said = []
    if "cadence" in laws:
        steady = _power_extremes(rows, "cadence", hard)[1]
        said.append(
            f"With the cadence sensor the motor gives {steady:.0f} W, whether you push with {soft:.0f} or {hard:.0f} W."
        )
    if "calm" in laws:
        one, other = _power_extremes(rows, "calm", soft)[1], _power_extremes(rows, "calm", hard)[1]
        said.append(
            f"With the torque sensor it gives {one:.0f} W for {soft:.0f} W of yours and {other:.0f} W for {hard:.0f} W."
        )
        low, high = _power_extremes(rows, "quick", hard)
        said.append(
            f"Averaged over half a turn that is steady; averaged quickly it swings from {low:.0f} to {high:.0f} W."
        )
    return " ".join(said)


def _write_note(rows: Sequence[ChartRow], pushes: Sequence[float], system: System) -> str:
    faster, unit, _, _ = speed_and_distance_units(system)
    speed = rows[0]["speed"] * faster
    return (
        "From left to right the crank turns once, from upright to upright; heights are watts at one moment. The legs push "
        "hardest with the crank level, twice in a turn. A quick average looks back an eighth of a turn. "
        f"Steady at {speed:.0f} {unit} and {rows[0]['cadence_rpm']:.0f} turns a minute, in the middle level."
    )


def _build_table(
    rows: Sequence[ChartRow], laws: Sequence[str], pushes: Sequence[float]
) -> tuple[list[str], list[list[str]]]:
    head, columns = ["Crank (the second half turn is the same)"], []
    for push in pushes:
        own = _select_rows(rows, "legs", push)
        head.append(f"Legs, {push:.0f} W push (N·m)")
        columns.append([svg_elements.format_number(row["torque"], 1) for row in own])
    for law in laws:
        for push in pushes:
            head.append(f"{TITLES[law]}, {push:.0f} W push (W)")
            columns.append(
                [svg_elements.format_number(row["power"]) for row in _select_rows(rows, law, push)]
            )
    angles = [round(degrees(row["angle"]), 1) for row in _select_rows(rows, "legs", pushes[0])]
    body = [
        [f"{angle:.0f}°", *(column[place] for column in columns)]
        for place, angle in enumerate(angles)
        if angle % EACH == 0 and angle <= HALF
    ]
    return head, body
