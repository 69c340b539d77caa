"""Rows of a chart: what is drawn, as plain values, and the units that they are in."""

from typing import Any, Literal

Row = dict[str, Any]
"""One mark of a chart, by the names of its values."""
System = Literal["metric", "us"]


def level_name(name: str) -> str:
    """A level whose maker only numbers it is called by its number, `level 3`."""
    return f"level {name}" if name.isdigit() else name


def units(system: System) -> tuple[float, str, float, str]:
    """Factor and symbol of speed [m/s] and of distance [m]."""
    if system == "us":
        return 3600 / 1609.344, "mph", 1 / 1609.344, "mi"
    return 3.6, "km/h", 0.001, "km"
