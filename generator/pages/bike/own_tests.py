"""Our own tests of a bike, each beside the maker's claim and the computed figure, never mixed with them."""

import re
from dataclasses import dataclass

from markupsafe import Markup

from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike, OwnTest, Stated

FIGURES = {"take-up angle": "assist.take_up_angle"}
"""Id of the computed figure for the same quantity, by test."""
BRAKING = "braking distance"

_SPEED = re.compile(r"\d\s*(km/h|mph|m/s)\b")


@dataclass(frozen=True)
class OwnTestRow:
    """A test with the claimed and the computed value."""

    test: OwnTest
    claimed: str
    computed: Markup | str


def compare_tests(renderer: Renderer, bike: Bike, path: str) -> list[OwnTestRow]:
    """Return the tests of a bike; a braking distance without its initial speed is left out."""
    return [
        OwnTestRow(
            test, _find_claim(bike, test.what), _find_computed(renderer, bike, test.what, path)
        )
        for test in bike.tests
        if test.what != BRAKING or _SPEED.search(f"{test.method} {test.conditions}")
    ]


def _find_claim(bike: Bike, what: str) -> str:
    stated: Stated | None = {
        "mass": bike.mass,
        "rollout": bike.wheels.rollout,
        "top assisted speed": bike.motor.assisted_speed,
    }.get(what)
    return stated.text if stated and stated.basis == "claimed" else "not stated"


def _find_computed(renderer: Renderer, bike: Bike, what: str, path: str) -> Markup | str:
    figure = renderer.table.get(bike.slug, FIGURES.get(what, ""))
    if figure is None or figure.basis in ("claimed", "measured"):
        return "not computed"
    return renderer.number(figure, path)
