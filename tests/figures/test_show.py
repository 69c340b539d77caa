"""Figures as text: digits follow the uncertainty, a true minus, units of two systems.

Conversions are exact by definition (international yard and pound, 1959).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.figures import show, units
from generator.figures.model import Figure, FigureKind

NBSP = "\u00a0"


def figure(value, low, high, unit=units.DISTANCE):
    kind = FigureKind(
        "group.figure", "group", "A figure", "Figure", unit, "words", "a = b", "source", ""
    )
    return Figure("oskelm-talli", kind, value, low, high, "computed", "")


@pytest.mark.parametrize(
    ("value", "low", "high", "text"),
    [
        (44_321.0, 36_400.0, 52_200.0, "44"),
        (44_321.0, 43_900.0, 44_700.0, "44.3"),
        (44_321.0, 44_321.0, 44_321.0, "44.3"),
        (44_321.0, 43_000.0, 45_600.0, "44.3"),
        (44_321.0, 41_000.0, 48_000.0, "44"),
    ],
)
def test_digits_follow_the_uncertainty(value, low, high, text):
    """A half width of 7.9 km leaves no tenth of a kilometre worth printing; one of 0.4 km does."""
    assert show.format_value(figure(value, low, high)) == text


@given(value=st.floats(1.0, 9e4), half=st.floats(1.0, 4e4))
def test_no_more_digits_than_two_of_the_uncertainty(value, half):
    """It suffices to quote an uncertainty to at most two significant digits: JCGM 100:2008, 7.2.6."""
    given_figure = figure(value, value - half, value + half)
    places = show.count_decimals(given_figure)

    assert places == 0 or half * 1e-3 < 10.0 ** (2 - places) * 0.25 * 1.0001


def test_text_in_both_systems():
    """44.3 km are 27.5 miles: identity."""
    here = figure(44_321.0, 43_900.0, 44_700.0)

    assert show.format_figure(here) == f"44.3{NBSP}km"
    assert show.format_figure(here, "us") == f"27.5{NBSP}mi"
    assert show.format_interval(here) == "43.9–44.7"


def test_interval_without_uncertainty_is_empty():
    assert show.format_interval(figure(5.0, 5.0, 5.0)) == ""


def test_true_minus():
    """A minus sign is not a hyphen, and a range with one is not written with a dash."""
    here = figure(-3.2, -4.1, 1.9, units.POWER)

    assert show.format_value(here) == "\u22123"
    assert show.format_interval(here) == "\u22124 to 2"


def test_no_negative_nothing():
    assert show.format_digits(-0.04, 1) == "0.0"


def test_thousands_are_set_apart_from_ten_thousand():
    assert show.format_digits(9_999.0, 0) == "9999"
    assert show.format_digits(12_345.6, 1) == "12\u202f345.6"


def test_degree_sign_stands_close():
    assert show.format_figure(figure(1.5708, 1.5708, 1.5708, units.ANGLE)) == "90°"


def test_money_has_cents_only_when_there_are_some():
    euro = units.make_money_unit("EUR")

    assert show.format_figure(figure(1149.0, 1149.0, 1149.0, euro)) == f"1149{NBSP}EUR"
    assert show.format_figure(figure(0.37, 0.37, 0.37, euro)) == f"0.37{NBSP}EUR"


def test_bare_ratio_has_no_unit():
    assert show.format_figure(figure(1.44, 1.44, 1.44, units.RATIO)) == "1.44"


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (float("inf"), units.SPEED, "no limit"),
        (float("nan"), units.SPEED, "unknown"),
        (0.0055, units.COEFFICIENT, "0.0055"),
        (25 / 3.6, units.SPEED, f"25.0{NBSP}km/h"),
        (418 * 3600.0, units.ENERGY, f"418{NBSP}Wh"),
    ],
)
def test_inputs_as_text(value, unit, text):
    assert show.format_quantity(value, unit.metric) == text


@pytest.mark.parametrize(
    ("unit", "shown"),
    [
        (units.SPEED, 28 * 1.609344 / 3.6),
        (units.MASS, 28 * 0.45359237),
        (units.DISTANCE, 28 * 1609.344),
        (units.LENGTH, 28 * 0.3048),
        (units.CONSUMPTION, 28 * 3600 / 1609.344),
    ],
)
def test_us_units_are_exact(unit, shown):
    """28 of each, from the definitions of 1959."""
    assert shown * unit.us.factor == pytest.approx(28.0, rel=1e-12)
