"""Conditions of a figure in words that can be said aloud with it.

* say_conditions           conditions of a figure in words
* say_written_conditions   written conditions in words
* is_at_limit              whether a figure is `at least` its value
* describe_rider           a rider in words
"""

import re

from generator.content.model import Content, Rider
from generator.figures import show, units
from generator.figures.kinds import hills
from generator.figures.model import Figure

_LEVEL = re.compile(r"level (.+)")
_HIGHEST = re.compile(r"highest level, (.+)")
_ORDER = ("for ", "on ", "in ")
"""Beginnings of the parts that are said first, in this order."""


def say_conditions(figure: Figure, content: Content, system: show.UnitSystem) -> str:
    """Conditions of a figure, such as `for a rider of 75 kg with 5 kg of bags on the tramway loop in level Even`; empty
    if it has none.

    A part that is no rider, route or level is said as written.
    """
    written = figure.conditions or figure.kind.conditions
    return say_written_conditions(written, content, system)


def say_written_conditions(written: str, content: Content, system: show.UnitSystem) -> str:
    """Conditions as a figure has them, with `; ` between the parts, in words."""
    parts = [
        each for part in written.split("; ") if part for each in _say_part(part, content, system)
    ]
    first = [part for start in _ORDER for part in parts if part.startswith(start)]
    rest = [part for part in parts if part not in first]
    return ", ".join(filter(None, (" ".join(first), *rest)))


def is_at_limit(figure: Figure) -> bool:
    """Whether the figure has reached the highest value that is computed, so that it is `at least` its value."""
    return figure.id == "hills.minutes" and figure.value >= hills.LONGEST


def describe_rider(rider: Rider, system: show.UnitSystem) -> str:
    """The rider by mass and load, such as `a rider of 75 kg with 5 kg of bags`."""
    bags = f" with {_format_mass(rider.load, system)} of bags" if rider.load else ""
    return f"a rider of {_format_mass(rider.mass, system)}{bags}"


def _say_part(part: str, content: Content, system: show.UnitSystem) -> list[str]:
    riders = {rider.name: rider for rider in content.riders}
    default = describe_rider(content.rider, system)
    if part in riders:
        return [f"for {describe_rider(riders[part], system)}"]
    if part in {route.name for route in content.routes}:
        return [f"on {part}"]
    if part == "default route and rider":
        return [f"for {default}", f"on {content.route.name}"]
    if highest := _HIGHEST.fullmatch(part):
        return [f"in the highest level ({highest[1]})"]
    if _LEVEL.fullmatch(part):
        return [f"in {part}"]
    part = _HIGHEST.sub(r"highest level (\1)", part)
    if part.startswith("lowest gear"):
        return [f"in the {part}"]
    if part.startswith("default rider's "):
        return [f"at the {part.removeprefix('default rider')[3:]} of {default}"]
    if part.startswith("flat, "):
        return [f"on the {part}"]
    part = part.replace(
        "default route's temperature", f"at the temperature of {content.route.name}"
    )
    if part.startswith("default rider"):
        return [f"for {part.replace('default rider', default, 1)}"]
    return [part.replace("default rider", default)]


def _format_mass(value: float, system: show.UnitSystem) -> str:
    scale = units.MASS.metric if system == "metric" else units.MASS.us
    return show.join_unit(show.format_digits(value * scale.factor, 0), scale.unit).replace(
        "\u00a0", " "
    )
