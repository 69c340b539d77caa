"""Our own tests of a bike, each beside what its maker states and what we work out, never mixed with them."""

import re
from dataclasses import dataclass

from markupsafe import Markup

from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike, OwnTest, Stated

FIGURES = {"take-up angle": "assist.take_up_angle"}
"""Test to the figure that was worked out for the same thing."""
BRAKING = "braking distance"

_SPEED = re.compile(r"\d\s*(km/h|mph|m/s)\b")


@dataclass(frozen=True)
class Row:
    test: OwnTest
    claimed: str
    computed: Markup | str


def tests(renderer: Renderer, bike: Bike, path: str) -> list[Row]:
    """A braking distance is left out when its record does not say from which speed."""
    return [
        Row(test, _claimed(bike, test.what), _computed(renderer, bike, test.what, path))
        for test in bike.tests
        if test.what != BRAKING or _SPEED.search(f"{test.method} {test.conditions}")
    ]


def _claimed(bike: Bike, what: str) -> str:
    stated: Stated | None = {
        "mass": bike.mass,
        "rollout": bike.wheels.rollout,
        "top assisted speed": bike.motor.assisted_speed,
    }.get(what)
    return stated.text if stated and stated.basis == "claimed" else "not stated"


def _computed(renderer: Renderer, bike: Bike, what: str, path: str) -> Markup | str:
    figure = renderer.table.get(bike.slug, FIGURES.get(what, ""))
    if figure is None or figure.basis in ("claimed", "measured"):
        return "not computed"
    return renderer.number(figure, path)
