"""Rows of a chart as plain values, and the units that they are in."""

from typing import Any, Literal

from generator.figures.units import DISTANCE, SPEED

ChartRow = dict[str, Any]
"""Values of one mark of a chart by name."""
System = Literal["metric", "us"]


def level_name(name: str) -> str:
    """The level's name in a chart; a mere number becomes `level 3`."""
    return f"level {name}" if name.isdigit() else name


def speed_and_distance_units(system: System) -> tuple[float, str, float, str]:
    """Factor and symbol of speed [m/s] and of distance [m]."""
    speed, distance = (getattr(unit, system) for unit in (SPEED, DISTANCE))
    return speed.factor, speed.unit, distance.factor, distance.unit
