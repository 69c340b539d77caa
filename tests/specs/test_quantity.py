"""Texts that are not a quantity get advice on how to correct them."""

import pytest

from generator.specs.quantity import QuantityError, check_quantity, parse_quantity


@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [
        ("60 Nm", "torque", 60.0),
        ("60 N m", "torque", 60.0),
        ("60 N⋅m", "torque", 60.0),
        ("27.4kg", "mass", 27.4),
        ("27.4\u00a0kg", "mass", 27.4),
        ("  27.4  kg ", "mass", 27.4),
        ("60 lbs", "mass", 27.2155422),
        ("25 km/h", "speed", 25 / 3.6),
        ("25 kmh", "speed", 25 / 3.6),
        ("0.6", "ratio", 0.6),
        ("60 %", "ratio", 0.6),
        (".5 kWh", "energy", 1.8e6),
        ("−5 °C", "temperature", -5.0),
        ("5e-1 km", "length", 500.0),
    ],
)
def test_spellings(text: str, dimension: str, si: float) -> None:
    """Usual spellings are accepted."""
    assert parse_quantity(text, dimension).value == pytest.approx(si)
    assert parse_quantity(text, dimension).text == text


@pytest.mark.parametrize(
    ("text", "dimension", "what", "mend"),
    [
        ("27,4 kg", "mass", "decimal comma", "27.4 kg"),
        ("1,500 W", "power", "separator", "1500 W"),
        ("1 500 W", "power", "separator", "1500 W"),
        ("27.4 km", "mass", "is a length; mass wants kg or lb", "kg"),
        ("18 °", "ratio", "is an angle", "%"),
        ("27.4", "mass", "has no unit", "27.4 kg or 27.4 lb"),
        ("27.4 KG", "mass", "not a unit of mass", "'27.4 kg'"),
        ("500 w", "power", "not a unit of power", "'500 W'"),
        ("27.4 stone", "mass", "not a unit of mass", "kg, g, t, lb or oz"),
        ("nan kg", "mass", "not a finite number", "Write the number"),
        ("-inf", "mass", "not a finite number", "Write the number"),
        ("1e999 kg", "mass", "too large", "real size"),
        ("44 1/2 in", "length", "a fraction", "Write '44.5 in', as a decimal"),
        ("44-1/2 inches", "length", "a fraction", "Write '44.5 in', as a decimal"),
        ('44½"', "length", "a fraction", "Write '44.5 in', as a decimal"),
        ("-1/2 kg", "mass", "a fraction", "Write '-0.5 kg', as a decimal"),
        ("53 2/3 lb", "mass", "a fraction", "Write '53.667 lb', as a decimal"),
        ("3/4", "ratio", "a fraction", "Write '0.75', as a decimal"),
        ("1/0 kg", "mass", "not a unit", "kg"),
        ("20-30 km", "length", "is a span", "one value"),
        ("20 km to 30 km", "length", "is a span", "one value"),
        ("about 27 kg", "mass", "not one plain number", "nothing else"),
        ("11.6.7 Ah", "charge", "not one plain number", "nothing else"),
        ("", "mass", "not one plain number", "such as 12 kg"),
        ("٣ kg", "mass", "not one plain number", "nothing else"),
        ("9" * 4000, "mass", "not one plain number", "nothing else"),
    ],
)
def test_advice(text: str, dimension: str, what: str, mend: str) -> None:
    """Each mistake is named, and the advice says what to write."""
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, dimension)
    assert what in caught.value.what
    assert mend in caught.value.mend


RULE = {"dimension": "length", "min": "700 mm", "max": "2600 mm"}


@pytest.mark.parametrize("value", ["700 mm", "2.6 m", "27.6 in"])
def test_span_holds_its_ends(value: str) -> None:
    """A value at the end of the plausible span is plausible."""
    assert 0.7 - 1e-9 <= check_quantity(value, RULE).value <= 2.6 + 1e-9


def test_only_ordinary_units_are_offered() -> None:
    """Another unit is offered for a number out of its span only when bikes are sold in it."""
    mass = {"dimension": "mass", "min": "8 kg", "max": "150 kg"}
    for value in ("635 lb", "26100 kg", "0.02 kg"):
        with pytest.raises(QuantityError) as caught:
            check_quantity(value, mass)
        assert caught.value.mend == "Check the number and the unit against the source"
    with pytest.raises(QuantityError) as caught:
        check_quantity("4 ft", {"dimension": "length", "min": "2 m", "max": "9 m"})
    assert "'4 m' would fit" in caught.value.mend


@pytest.mark.parametrize(
    ("value", "what", "mend"),
    [
        ("1120 m", "more than 2600 mm", "'1120 mm' would fit"),
        ("-1 m", "less than 700 mm", "against the source"),
        (1120, "has no unit", "Write 1120 mm"),
        (True, "'true' is not a number with a unit", "such as 1120 mm"),
        (["1120 mm"], "not a number with a unit", "such as 1120 mm"),
    ],
)
def test_implausible(value: object, what: str, mend: str) -> None:
    """A value out of its span, or of another type, is refused with advice."""
    with pytest.raises(QuantityError) as caught:
        check_quantity(value, RULE, "1120 mm")
    assert what in caught.value.what
    assert mend in caught.value.mend
