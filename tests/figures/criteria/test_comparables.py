"""Values far from those of comparable bikes. The mistakes are common practice, no source."""

from dataclasses import replace
from typing import Any

import pytest

from generator.figures.criteria.comparables import (
    FAR,
    LEAST,
    compute_compared_figures,
    find_oddities,
)
from generator.specs.bike import Bike, Stated
from generator.specs.quantity import parse_quantity
from tests.figures.demo import bikes, content

FIGURES: dict[str, dict[str, float]] = {}
"""No figures, as stated values need none."""


def stated(text: str, dimension: str) -> Stated:
    return Stated(parse_quantity(text, dimension).value, text)


def bike(bikes: tuple[Bike, ...], slug: str) -> Bike:
    return next(each for each in bikes if each.slug == slug)


def with_part(bike: Bike, part: str, **values: Any) -> Bike:
    """A bike with other values in its motor, battery or wheels."""
    return replace(bike, **{part: replace(getattr(bike, part), **values)})


def told(bike: Bike, bikes: tuple[Bike, ...]) -> list[tuple[str, str, str]]:
    found = find_oddities(bike, bikes, FIGURES, content())
    return [(".".join(map(str, each.keys)), each.what, each.mend) for each in found]


@pytest.fixture(scope="module")
def demo() -> tuple[Bike, ...]:
    return bikes()


def test_the_demo_has_nothing_odd(demo: tuple[Bike, ...]) -> None:
    """No stated value or figure of thirty bikes of many kinds is odd."""
    figures = compute_compared_figures(demo, content())
    assert len(figures) == 5
    for each in demo:
        assert find_oddities(each, demo, figures, content()) == [], each.slug


@pytest.mark.parametrize(
    ("part", "key", "text", "dimension", "guess"),
    [
        ("", "mass", "9 kg", "mass", "without the battery?"),
        ("", "mass", "48.5 kg", "mass", "48.5 lb?"),
        ("", "permitted_mass", "310 kg", "mass", "310 lb?"),
        ("battery", "energy", "4000 Wh", "energy", "400 Wh?"),
        ("battery", "energy", "41 Wh", "energy", "410 Wh?"),
        ("motor", "torque", "4 N·m", "torque", "40 N·m?"),
        ("motor", "rated_power", "750 W", "power", "peak power"),
        ("motor", "assisted_speed", "15 km/h", "speed", "the start assist?"),
        ("battery", "charger_current", "30 A", "current", "3 A?"),
    ],
)
def test_slips_are_named(
    demo: tuple[Bike, ...], part: str, key: str, text: str, dimension: str, guess: str
) -> None:
    """One odd value of a sound bike is found, and no other, with the likely mistake."""
    sound = bike(demo, "neshwick-arrum")
    value = stated(text, dimension)
    wrong = with_part(sound, part, **{key: value}) if part else replace(sound, **{key: value})
    ((place, what, mend),) = told(wrong, demo)
    assert place == f"{part}.{key}".strip(".")
    assert f"{text} is " in what
    assert "comparable bikes" in what
    assert guess in mend


def test_a_wheel_of_another_size(demo: tuple[Bike, ...]) -> None:
    """Four folders have small wheels, and one has the wheel size of a city bike in its spec file."""
    folder = bike(demo, "lumtarn-izzul")
    folders = tuple(replace(folder, slug=f"folder-{number}") for number in range(LEAST))
    wrong = with_part(folder, "wheels", etrto_bead=0.622, text="47-622")
    ((place, what, _),) = told(wrong, folders)
    assert place == "wheels.size"
    assert "folders" in what


def test_few_comparable_bikes_say_nothing(demo: tuple[Bike, ...]) -> None:
    """Three bikes are no measure."""
    odd = replace(bike(demo, "neshwick-arrum"), mass=stated("9 kg", "mass"))
    assert told(odd, demo[: LEAST - 1]) == []


def test_one_wrong_bike_does_not_hide_another(demo: tuple[Bike, ...]) -> None:
    """A comparable value beyond three times the median is left out of the range."""
    sound = bike(demo, "neshwick-arrum")
    peers = tuple(replace(sound, slug=f"peer-{number}") for number in range(LEAST + 1))
    energy = stated("4000 Wh", "energy")
    spoiled = with_part(replace(sound, slug="spoiled"), "battery", energy=energy)
    assert sound.battery.energy is not None
    assert energy.value / sound.battery.energy.value > FAR
    assert [
        place for place, _, _ in told(with_part(sound, "battery", energy=energy), (*peers, spoiled))
    ]


def test_a_measured_value_is_believed(demo: tuple[Bike, ...]) -> None:
    """A mass is believed, however odd, if the reviewers weighed the bike."""
    sound = bike(demo, "pellimor-fenno")
    light = replace(sound, mass=stated("9 kg", "mass"))
    assert told(replace(light, tests=()), demo)
    test = replace(sound.tests[0], value=stated("9.2 kg", "mass"))
    assert told(replace(light, tests=(test,)), demo) == []


def test_prices_are_compared_in_one_currency(demo: tuple[Bike, ...]) -> None:
    sound = bike(demo, "neshwick-arrum")
    assert sound.price is not None
    dear = replace(sound, price=replace(sound.price, amount=159000.0, text="159000 EUR"))
    assert [place for place, _, _ in told(dear, demo)] == ["price.list"]
    yen = replace(sound, price=replace(sound.price, amount=159000.0, currency="JPY"))
    assert told(yen, demo) == []


def test_figures_point_at_what_they_hang_on(demo: tuple[Bike, ...]) -> None:
    """A chainring of 14 teeth on a city bike gives a gear that nobody pedals."""
    sound = bike(demo, "neshwick-arrum")
    wrong = with_part(sound, "drivetrain", chainrings=(14,))
    figures = compute_compared_figures(
        (*(each for each in demo if each is not sound), wrong), content()
    )
    found = find_oddities(wrong, demo, figures, content())
    assert [each.keys for each in found] == [("drivetrain", "cogs")]
    assert "metres in a turn" in found[0].what
