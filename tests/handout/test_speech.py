"""Figures in spoken words. The expected words are written by hand."""

from typing import Any

import pytest

from generator.figures import units
from generator.figures.model import Figure, FigureKind, Unit
from generator.handout.speech import UNITS, Voice, round_digits
from tests.handout.conftest import Demo
from tests.pages.site_example import kind

BRITISH, AMERICAN = Voice("metric", "en-GB"), Voice("us", "en-US")


def figure(unit: Unit, value: float, low: float | None = None, high: float | None = None) -> Figure:
    """A figure whose values are given as shown in metric units."""
    factor = unit.metric.factor
    low, high = value if low is None else low, value if high is None else high
    of: FigureKind = kind("range.rolling", "Range", unit)
    basis: Any = "claimed" if low == high else "estimated"
    return Figure("invor-alpa", of, value / factor, low / factor, high / factor, basis, "")


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (0.0, "zero"),
        (0.5, "zero point five"),
        (1.0, "one"),
        (1.2, "one point two"),
        (12.0, "twelve"),
        (21.0, "twenty-one"),
        (44.0, "forty-four"),
        (100.0, "one hundred"),
        (101.0, "one hundred and one"),
        (1050.0, "one thousand and fifty"),
        (3300.0, "three thousand three hundred"),
        (-0.5, "minus zero point five"),
        (-3.0, "minus three"),
        (-0.0, "zero"),
        (1200000.0, "one million two hundred thousand"),
    ],
)
def test_numbers_in_words(number: float, words: str) -> None:
    assert BRITISH.say_number(number) == words


def test_american_english_leaves_out_and() -> None:
    assert AMERICAN.say_number(1050.0) == "one thousand fifty"


@pytest.mark.parametrize(
    ("value", "said"),
    [(44.4, 44.0), (0.0, 0.0), (0.184, 0.18), (1050.0, 1100.0), (1049.0, 1000.0), (99.6, 100.0), (-3.14, -3.1), (116.0, 120.0)],
)  # fmt: skip
def test_two_significant_digits(value: float, said: float) -> None:
    """Halves are rounded away from zero, as people do."""
    assert float(round_digits(value)) == said


@pytest.mark.parametrize(
    ("spoken_of", "words"),
    [
        (figure(units.DISTANCE, 44.0, 36.0, 52.0), "about forty-four kilometres; between thirty-six and fifty-two"),
        (figure(units.DISTANCE, 1.0), "one kilometre"),
        (figure(units.DISTANCE, 0.5), "zero point five kilometres"),
        (figure(units.SPEED, 25.0), "twenty-five kilometres an hour"),
        (figure(units.SPEED, 1.0), "one kilometre an hour"),
        (figure(units.GRADE, 17.0, 13.0, 21.0), "about seventeen per cent; between thirteen and twenty-one"),
        (figure(units.POWER, 250.0), "two hundred and fifty watts"),
        (figure(units.POWER, 1050.0), "about one thousand one hundred watts"),
        (figure(units.MASS, 26.1), "about twenty-six kilograms"),
        (figure(units.MASS, 100.0), "one hundred kilograms"),
        (figure(units.TORQUE, 65.0), "sixty-five newton metres"),
        (figure(units.ENERGY, 504.0, 475.0, 517.0),
         "about five hundred watt-hours; between four hundred and eighty and five hundred and twenty"),
        (figure(units.CONSUMPTION, 5.3, 5.1, 5.7),
         "about five point three watt-hours a kilometre; between five point one and five point seven"),
        (figure(units.CADENCE, 41.0), "forty-one turns a minute"),
        (figure(units.ANGLE, 20.0), "twenty degrees"),
        (figure(units.SPEED, -3.0, -5.0, 1.0), "about minus three kilometres an hour; between minus five and one"),
        (figure(units.DISTANCE, 44.0, 43.8, 44.2), "about forty-four kilometres"),  # both ends are said alike
        (figure(units.make_money_unit("EUR"), 3290.0), "about three thousand three hundred euros"),
        (figure(units.make_money_unit("EUR"), 1.0), "one euro"),
        (figure(units.make_money_unit("EUR"), 1.9), "one euro ninety"),
        (figure(units.make_money_unit("EUR"), 0.19, 0.18, 0.21), "about nineteen cents; between eighteen and twenty-one cents"),
        (figure(units.make_money_unit("EUR"), 0.01), "one cent"),
        (figure(units.make_money_unit("GBP"), 0.5), "fifty pence"),
        (figure(units.make_money_unit("SEK"), 12000.0), "twelve thousand kronor"),
        (figure(units.make_money_unit("XTS"), 5.0), "five XTS"),
    ],
)  # fmt: skip
def test_figures_in_words(spoken_of: Figure, words: str) -> None:
    assert BRITISH.say_figure(spoken_of) == words


@pytest.mark.parametrize(
    ("spoken_of", "words"),
    [
        (figure(units.DISTANCE, 44.0, 36.0, 52.0), "about twenty-seven miles; between twenty-two and thirty-two"),
        (figure(units.MASS, 26.1), "about fifty-eight pounds"),
        (figure(units.SPEED, 32.0), "about twenty miles an hour"),
        (figure(units.LENGTH, 0.3048), "one foot"),
        (figure(units.LENGTH, 9.0, 8.2, 10.7), "about thirty feet; between twenty-seven and thirty-five"),
        (figure(units.GRADE, 17.0, 13.0, 21.0), "about seventeen percent; between thirteen and twenty-one"),
    ],
)  # fmt: skip
def test_figures_in_american_words(spoken_of: Figure, words: str) -> None:
    """In American units and spelling: 44 km are 27.3 mi, 36 are 22.4, 52 are 32.3; 26.1 kg are 57.5 lb."""
    assert AMERICAN.say_figure(spoken_of) == words


def test_no_finer_than_the_page() -> None:
    """Where the page rounds 9.3 to 9 for a wide interval, speech does not say nine point three."""
    wide = figure(units.GRADE, 9.3, 6.7, 13.0)

    assert BRITISH.say_figure(wide) == "about nine per cent; between seven and thirteen"


def test_every_unit_has_words(demo: Demo) -> None:
    """Every unit of the demo's figures has a name, in both systems."""
    kinds = demo.table.kinds.values()
    used = {scale.unit for each in kinds for scale in (each.unit.metric, each.unit.us)}
    money = {symbol for symbol in used if len(symbol) == 3 and symbol.isupper()}

    assert used - money - set(UNITS) == set()
