"""Diagram of take-up: how far the crank turns from standstill before the motor pushes."""

from collections.abc import Callable, Sequence
from math import degrees

from markupsafe import Markup

from generator.charts.drawing import svg_elements, theme
from generator.charts.rows import ChartRow, System
from generator.figures import show, units

TITLES = {"cadence": "Cadence sensor", "torque": "Torque sensor"}
TALL, GAP = 76, 44
STATIONS = (90, 180, 270, 360, 450, 540)
"""Crank angles in the data table. [°]"""


def draw_diagram(rows: Sequence[ChartRow], system: System) -> svg_elements.Diagram:
    laws = [law for law in TITLES if any(row["law"] == law for row in rows)]
    highest = svg_elements.round_up_top(max(row["force"] for row in rows))
    last = degrees(max(row["angle"] for row in rows))
    across = svg_elements.make_scale(0.0, last, svg_elements.LEFT, svg_elements.RIGHT)
    shapes: list[Markup] = []
    floor = 0.0
    for place, law in enumerate(laws):
        top = svg_elements.LINE + 4 + place * (TALL + GAP)
        floor = top + TALL
        own = [row for row in rows if row["law"] == law]
        shapes += svg_elements.draw_panel(top, floor, highest, "N")
        up = svg_elements.make_scale(0.0, highest, floor, top)
        points = [(across(degrees(row["angle"])), up(row["force"])) for row in own]
        shapes += [
            svg_elements.draw_area(points, floor, theme.SERIES[0]),
            svg_elements.draw_line(points, theme.SERIES[0]),
        ]
        shapes += _draw_wait(own[0], across, top, floor)
        shapes.append(
            svg_elements.draw_in_ink(
                [svg_elements.draw_words(svg_elements.LEFT, top - 5, TITLES[law])]
            )
        )
    turns = ((0, "0", ""), (180, "½ turn", "middle"), (360, "1 turn", "middle"), (540, "1½", "end"))
    shapes.append(
        svg_elements.draw_in_ink(
            [
                svg_elements.draw_words(across(angle), floor + 30, text, anchor)
                for angle, text, anchor in turns
            ]
        )
    )
    return svg_elements.Diagram(
        title="From standstill: crank pressed, motor pushing",
        height=round(floor + 36),
        shapes=shapes,
        finding=" ".join(
            _write_finding(next(row for row in rows if row["law"] == law)) for law in laws
        ),
        note=(
            "From left to right the crank turns one and a half times from rest, with a light push of 60 W in the middle "
            "level; the height is the motor's push at the road. Each tick below is a pulse of the sensor, the long ones are "
            "those that it waits for, and the dashed line is where it reports pedalling. Then the push grows by the ramp"
            + (" and, with a torque sensor, with its filter." if "torque" in laws else ".")
        ),
        head=[
            "Sensor",
            "Pulses in a turn",
            "Pulses before help",
            "Take-up angle (°)",
            "Half the help after (s)",
            *(f"Push at {angle}° (N)" for angle in STATIONS),
        ],
        body=[_table_line([row for row in rows if row["law"] == law], law) for law in laws],
    )


def _draw_wait(
    row: ChartRow, across: Callable[[float], float], top: float, floor: float
) -> list[Markup]:
    """Ticks for the pulses below the floor, longer until help comes, and the line where it does."""
    angle = degrees(row["take_up_angle"])
    end = across(angle)
    each = (svg_elements.RIGHT - svg_elements.LEFT) * 360.0 / row["pulses"] / 540.0
    return [
        _draw_ticks(floor + 5, 4, each, across(0.0) + each - 1, svg_elements.RIGHT),
        _draw_ticks(floor + 8, 10, each, across(0.0) + each - 1, end + 1),
        svg_elements.draw_rule((end, top), (end, floor + 13), theme.INK, "4 2"),
        svg_elements.draw_in_ink(
            [
                svg_elements.draw_words(
                    svg_elements.RIGHT, top - 5, f"help after {angle:.0f}°", "end"
                )
            ]
        ),
    ]


def _draw_ticks(y: float, tall: int, each: float, start: float, end: float) -> Markup:
    """A row of ticks, as one dashed line."""
    return Markup(
        '<path stroke="{}" stroke-width="{}" stroke-dasharray="2 {}" d="M{} {:g}H{}"/>'
    ).format(theme.INK, tall, f"{each - 2:.2f}", f"{start:.1f}", y, f"{end:.1f}")


def _write_finding(row: ChartRow) -> str:
    few = f"{row['start']:.0f} of {row['pulses']:.0f} pulses"
    return (
        f"The {TITLES[row['law']].lower()} waits for {few}, {degrees(row['take_up_angle']):.0f}° of the crank; half of the "
        f"help is there after {show.format_quantity(row['half_time'], units.SECONDS.metric)}."
    )


def _table_line(rows: Sequence[ChartRow], law: str) -> list[str]:
    first = rows[0]
    force = {round(degrees(row["angle"])): row["force"] for row in rows}
    return [
        TITLES[law],
        f"{first['pulses']:.0f}",
        f"{first['start']:.0f}",
        svg_elements.format_number(degrees(first["take_up_angle"])),
        svg_elements.format_number(first["half_time"], 2),
        *(svg_elements.format_number(force[angle]) for angle in STATIONS),
    ]
