"""What a figure holds for, in words that can be said along with it."""

import re

from generator.content.model import Content, Rider
from generator.figures import show, units
from generator.figures.kinds import hills
from generator.figures.model import Figure

_LEVEL = re.compile(r"level (.+)")
_HIGHEST = re.compile(r"highest level, (.+)")
_ORDER = ("for ", "on ", "in ")
"""How the parts of a condition begin that are said first, in this order."""


def spoken(figure: Figure, content: Content, system: show.System) -> str:
    """Such as `for a rider of 75 kg with 5 kg of bags on the tramway loop in level Even`; empty when it holds for all.

    What is no rider, route or level is said as it is written.
    """
    written = figure.conditions or figure.kind.conditions
    return said(written, content, system)


def said(written: str, content: Content, system: show.System) -> str:
    """The same of a condition as a figure has it, its parts with `; ` between them."""
    parts = [each for part in written.split("; ") if part for each in _parts(part, content, system)]
    first = [part for start in _ORDER for part in parts if part.startswith(start)]
    rest = [part for part in parts if part not in first]
    return ", ".join(filter(None, (" ".join(first), *rest)))


def at_its_limit(figure: Figure) -> bool:
    """Is a figure told no further than this, so that it is `at least` its value?"""
    return figure.id == "hills.minutes" and figure.value >= hills.LONGEST


def rider_words(rider: Rider, system: show.System) -> str:
    """`a rider of 75 kg with 5 kg of bags`."""
    bags = f" with {_mass(rider.load, system)} of bags" if rider.load else ""
    return f"a rider of {_mass(rider.mass, system)}{bags}"


def _parts(part: str, content: Content, system: show.System) -> list[str]:
    riders = {rider.name: rider for rider in content.riders}
    default = rider_words(content.rider, system)
    if part in riders:
        return [f"for {rider_words(riders[part], system)}"]
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


def _mass(value: float, system: show.System) -> str:
    scale = units.MASS.metric if system == "metric" else units.MASS.us
    return show.join(show.digits(value * scale.factor, 0), scale.unit).replace("\u00a0", " ")
