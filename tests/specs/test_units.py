"""Units against their published definitions. The numbers are copied from the sources by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.specs.quantity import parse_quantity
from generator.specs.units import BY_SYMBOL, DIMENSIONS, SPELLINGS, UNITS

EXACT = [
    # International yard and pound agreement, 1959 (US Federal Register 24:5348):
    # 1 yard = 0.9144 metre, 1 pound = 0.453 592 37 kilogram; 1 yard = 3 feet = 36 inches,
    # 1 mile = 1760 yards, 1 pound = 16 ounces.
    ("1 yd", "length", 0.9144),
    ("1 ft", "length", 0.3048),
    ("1 in", "length", 0.0254),
    ("1 mi", "length", 1609.344),
    ("1 lb", "mass", 0.45359237),
    ("16 oz", "mass", 0.45359237),
    # SI Brochure, 9th edition, table 8 (units accepted for use with the SI), section 3 (prefixes).
    ("1 min", "time", 60.0),
    ("1 h", "time", 3600.0),
    ("180 °", "angle", math.pi),
    ("1 t", "mass", 1000.0),
    ("1 ms", "time", 0.001),
    ("1 kWh", "energy", 3.6e6),
    ("1 Ah", "charge", 3600.0),
    ("36 km/h", "speed", 10.0),
    ("60 rpm", "cadence", 2 * math.pi),
    # 1 bar = 100 kPa: SI Brochure, 8th edition, table 8.
    ("1 bar", "pressure", 1e5),
]
ROUNDED = [
    # Thompson & Taylor 2008, NIST Special Publication 811, appendix B.8, seven digits as printed
    # (values from memory).
    ("1 mph", "speed", 0.44704, 5e-8),
    ("1 psi", "pressure", 6894.757, 5e-4),
    ("1 lb·ft", "torque", 1.355818, 5e-7),
    ("1 oz", "mass", 0.02834952, 5e-9),
    ("1 rpm", "cadence", 0.1047198, 5e-8),
]
TEMPERATURES = [
    # t/°C = (t/°F − 32) ÷ 1.8: NIST Special Publication 811, appendix B.8 (formula from memory).
    ("32 °F", 0.0),
    ("212 °F", 100.0),
    ("-40 °F", -40.0),
    ("12 °C", 12.0),
]


@pytest.mark.parametrize(("text", "dimension", "si"), EXACT)
def test_exact_definitions(text: str, dimension: str, si: float) -> None:
    """A defined factor is met to the last digit that a float holds."""
    assert parse_quantity(text, dimension).value == pytest.approx(si, rel=1e-15)


@pytest.mark.parametrize(("text", "dimension", "si", "half_digit"), ROUNDED)
def test_printed_factors(text: str, dimension: str, si: float, half_digit: float) -> None:
    """A factor printed with seven digits is met within half of the last one."""
    assert abs(parse_quantity(text, dimension).value - si) <= half_digit


@pytest.mark.parametrize(("text", "celsius"), TEMPERATURES)
def test_temperatures(text: str, celsius: float) -> None:
    """Temperatures are kept in degrees Celsius."""
    assert parse_quantity(text, "temperature").value == pytest.approx(celsius, abs=1e-12)


@given(st.sampled_from(UNITS), st.floats(-1e6, 1e6))
def test_there_and_back(unit, number: float) -> None:
    """Every unit converts to SI and back."""
    assert unit.from_si(unit.to_si(number)) == pytest.approx(number, rel=1e-12, abs=1e-9)


@given(st.sampled_from(UNITS), st.floats(-1e6, 1e6).map(lambda number: f"{number:.6f}"))
def test_text_there_and_back(unit, number: str) -> None:
    """A number written with any unit is read as that number with that unit."""
    read = parse_quantity(f"{number} {unit.symbol}".strip(), unit.dimension)
    assert (read.number, read.unit) == (float(number), unit)


@given(st.sampled_from(UNITS), st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_order_is_kept(unit, one: float, other: float) -> None:
    """The larger number is the larger quantity."""
    low, high = sorted((one, other))
    assert unit.to_si(low) <= unit.to_si(high)


def test_spellings_lead_to_units() -> None:
    """Every other spelling stands for a unit, and none hides a unit of its own."""
    assert set(SPELLINGS.values()) <= set(BY_SYMBOL)
    assert not set(SPELLINGS) & set(BY_SYMBOL)
    assert {unit.dimension for unit in UNITS} == set(DIMENSIONS)
