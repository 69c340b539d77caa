"""Diagram of run-on: how long and how far the motor pulls after the pedals stop."""

from collections.abc import Sequence

from markupsafe import Markup

from generator.charts.drawing import svg_elements, theme
from generator.charts.rows import ChartRow, System
from generator.figures import show, units
from generator.figures.model import Scale

TITLES = {"cadence": "Motor, cadence sensor", "torque": "Motor, torque sensor"}
TALL, GAP = 26, 12
BEFORE = 1.0
"""Road drawn before the pedals stop. [m]"""
ALLOWED = 2.0
"""Run-on that EN 15194 allows without brake switches. [m]"""
ALLOWED_WITH_SWITCHES = 5.0
"""Run-on that it allows with switches in all brake levers. [m]"""


def draw_diagram(rows: Sequence[ChartRow], system: System) -> svg_elements.Diagram:
    laws = [law for law in TITLES if any(row["law"] == law for row in rows)]
    length = units.LENGTH.us if system == "us" else units.LENGTH.metric
    last = max(3.0, *(row["distance"] + 0.7 for row in rows))
    across = svg_elements.make_scale(-BEFORE, last, svg_elements.LEFT, svg_elements.RIGHT)
    shapes: list[Markup] = []
    top = float(svg_elements.LINE + 4)
    legs = [(across(-BEFORE), top), (across(0.0), top), (across(0.0), top + TALL)]
    shapes += _draw_strip("Legs", legs, top, theme.SERIES[1])
    shapes.append(
        svg_elements.draw_in_ink(
            [svg_elements.draw_words(across(0.0) + 6, top + TALL - 8, "at rest")]
        )
    )
    for law in laws:
        top += TALL + GAP + svg_elements.LINE
        up = svg_elements.make_scale(0.0, 1.0, top + TALL, top)
        own = [row for row in rows if row["law"] == law]
        points = [
            (across(-BEFORE), up(1.0)),
            *((across(row["distance"]), up(row["motor"])) for row in own),
        ]
        shapes += _draw_strip(TITLES[law], points, top, theme.SERIES[0])
        shapes.append(
            svg_elements.draw_rule((across(0.0), top), (across(0.0), top + TALL), theme.MUTED)
        )
        end = own[-1]
        told = show.format_quantity(end["distance"], length)
        room = across(last) - across(end["distance"]) > 60
        x, y = (
            (across(end["distance"]) + 6, top + TALL - 8) if room else (svg_elements.RIGHT, top - 5)
        )
        shapes.append(
            svg_elements.draw_in_ink([svg_elements.draw_words(x, y, told, "" if room else "end")])
        )
    floor = top + TALL
    shapes.append(
        svg_elements.draw_rule((across(0.0), floor), (across(0.0), floor + 6), theme.MUTED)
    )
    shapes.append(
        svg_elements.draw_rule(
            (across(ALLOWED), svg_elements.LINE + 4), (across(ALLOWED), floor + 6), theme.INK, "4 2"
        )
    )
    shapes.append(
        svg_elements.draw_in_ink(
            [
                svg_elements.draw_words(across(0.0), floor + 20, "pedals stop", "middle"),
                svg_elements.draw_words(
                    across(ALLOWED), floor + 20, _format_length(ALLOWED, length), "middle"
                ),
            ]
        )
    )
    return svg_elements.Diagram(
        title="When you stop pedalling",
        height=round(floor + 26),
        shapes=shapes,
        finding=" ".join(_write_finding(rows, law, length) for law in laws),
        note=(
            "From left to right the bike rolls on at 20 km/h; a full strip is a full push. The motor notices the missing "
            "pulse only after a delay, then lets go. The dashed line is the "
            f"{_format_length(ALLOWED, length)} that EN 15194 allows; with switches in all brake levers it allows "
            f"{_format_length(ALLOWED_WITH_SWITCHES, length)}."
        ),
        head=[
            "Sensor",
            "Full push for (s)",
            "At rest after (s)",
            f"Full push for ({length.unit})",
            f"At rest after ({length.unit})",
        ],
        body=[_table_line(rows, law, length) for law in laws],
    )


def _draw_strip(
    title: str, points: list[svg_elements.Point], top: float, colour: str
) -> list[Markup]:
    floor = top + TALL
    return [
        svg_elements.draw_in_ink([svg_elements.draw_words(svg_elements.LEFT, top - 5, title)]),
        svg_elements.draw_rule(
            (svg_elements.LEFT, floor), (svg_elements.RIGHT, floor), theme.MUTED
        ),
        svg_elements.draw_area(points, floor, colour),
        svg_elements.draw_line(points, colour),
    ]


def _format_length(value: float, length: Scale) -> str:
    return show.join_unit(f"{value * length.factor:.2g}", length.unit)


def _find_fall(rows: Sequence[ChartRow], law: str) -> tuple[ChartRow, ChartRow]:
    """Rows where the push begins to fall and where it has ended."""
    own = [row for row in rows if row["law"] == law]
    return own[-2], own[-1]


def _write_finding(rows: Sequence[ChartRow], law: str, length: Scale) -> str:
    _, end = _find_fall(rows, law)
    time = show.format_quantity(end["time"], units.SECONDS.metric)
    return (
        f"With the {law} sensor the motor rests {time} after the pedals, "
        f"{show.format_quantity(end['distance'], length)} further on at 20 km/h."
    )


def _table_line(rows: Sequence[ChartRow], law: str, length: Scale) -> list[str]:
    full, end = _find_fall(rows, law)
    return [
        TITLES[law],
        svg_elements.format_number(full["time"], 2),
        svg_elements.format_number(end["time"], 2),
        svg_elements.format_number(full["distance"] * length.factor, 1),
        svg_elements.format_number(end["distance"] * length.factor, 1),
    ]
