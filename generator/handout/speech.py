"""Figures in spoken words: "about forty-four kilometres; between thirty-six and fifty-two".

Listeners remember two significant digits, and few figures are more exact. Numbers in words come from the library
`inflect`; units, money and word order are ours.

* Voice   says figures in one unit system and one spelling
"""

import math
from decimal import ROUND_HALF_UP, Context, Decimal
from functools import cache
from typing import Any, NamedTuple

from generator.figures import show
from generator.figures.model import Figure, FigureKind
from generator.handout.conditions import is_at_limit

DIGITS = 2
"""Significant digits said aloud."""


class UnitName(NamedTuple):
    """Singular and plural of a unit."""

    one: str
    several: str


def _name_with_s(word: str, rest: str = "") -> UnitName:
    return UnitName(word + rest, f"{word}s{rest}")


UNITS = {
    "": UnitName("", ""),
    "km": _name_with_s("kilometre"),
    "m": _name_with_s("metre"),
    "mm": _name_with_s("millimetre"),
    "mi": _name_with_s("mile"),
    "ft": UnitName("foot", "feet"),
    "in": UnitName("inch", "inches"),
    "km/h": _name_with_s("kilometre", " an hour"),
    "mph": _name_with_s("mile", " an hour"),
    "m/s": _name_with_s("metre", " a second"),
    "kg": _name_with_s("kilogram"),
    "lb": _name_with_s("pound"),
    "W": _name_with_s("watt"),
    "N": _name_with_s("newton"),
    "N·m": _name_with_s("newton metre"),
    "Wh": _name_with_s("watt-hour"),
    "Wh/km": _name_with_s("watt-hour", " a kilometre"),
    "Wh/mi": _name_with_s("watt-hour", " a mile"),
    "%": UnitName("per cent", "per cent"),
    "s": _name_with_s("second"),
    "min": _name_with_s("minute"),
    "h": _name_with_s("hour"),
    "°": _name_with_s("degree"),
    "°C": _name_with_s("degree", " Celsius"),
    "rpm": _name_with_s("turn", " a minute"),
    "m/s²": _name_with_s("metre", " per second squared"),
    "ft/s²": UnitName("foot per second squared", "feet per second squared"),
    "m/s³": _name_with_s("metre", " per second cubed"),
    "ft/s³": UnitName("foot per second cubed", "feet per second cubed"),
    "A": _name_with_s("ampere"),
    "V": _name_with_s("volt"),
    "C": UnitName("C", "C"),
}
"""Names of units by symbol, in British spelling."""

MONEY = {
    "EUR": (_name_with_s("euro"), _name_with_s("cent")),
    "USD": (_name_with_s("dollar"), _name_with_s("cent")),
    "CAD": (_name_with_s("Canadian dollar"), _name_with_s("cent")),
    "AUD": (_name_with_s("Australian dollar"), _name_with_s("cent")),
    "NZD": (_name_with_s("New Zealand dollar"), _name_with_s("cent")),
    "GBP": (_name_with_s("pound"), UnitName("penny", "pence")),
    "CHF": (_name_with_s("franc"), _name_with_s("centime")),
    "SEK": (UnitName("krona", "kronor"), UnitName("öre", "öre")),
    "NOK": (UnitName("krone", "kroner"), UnitName("øre", "øre")),
    "DKK": (UnitName("krone", "kroner"), UnitName("øre", "øre")),
}
"""Names of the unit and its hundredth by ISO 4217 code. Other currencies are said by their code."""

_AMERICAN = (("metre", "meter"), ("per cent", "percent"))


@cache
def _load_inflect() -> Any:
    import inflect  # slow to import

    return inflect.engine()


def round_digits(value: float, digits: int = DIGITS) -> Decimal:
    """The value to so many significant digits, halves rounded away from zero."""
    exact = Decimal(repr(float(value)))
    return Context(prec=digits, rounding=ROUND_HALF_UP).plus(exact)


class Voice:
    """Says figures in one unit system and one spelling."""

    def __init__(self, system: show.UnitSystem, language: str = "en-GB") -> None:
        self.system = system
        self.american = language.lower() == "en-us"

    def say_number(self, value: float | Decimal) -> str:
        """A number in words with all its digits: 1050 is `one thousand and fifty`."""
        exact = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
        digits = f"{exact:f}"
        if "." in digits:
            digits = digits.rstrip("0").rstrip(".")
        digits = "0" if digits in ("-0", "") else digits
        words: str = _load_inflect().number_to_words(
            digits, andword="" if self.american else "and", comma=""
        )
        return words

    def say_value(self, figure: Figure) -> str:
        """A figure's value, such as `about forty-four kilometres`; without `about` if it is exact and was not rounded."""
        said = self._round_for_speech(figure, figure.value)
        if is_at_limit(figure):
            return (
                f"at least {self._say_amount(said, show.get_unit_symbol(figure.kind, self.system))}"
            )
        words = self._say_amount(said, show.get_unit_symbol(figure.kind, self.system))
        exact = figure.low == figure.high and _is_close(
            float(said), figure.value * self._unit_factor(figure.kind)
        )
        return words if exact else f"about {words}"

    def say_interval(self, figure: Figure) -> str:
        """A figure's interval, such as `between thirty-six and fifty-two`; empty if both ends are said alike."""
        unit = show.get_unit_symbol(figure.kind, self.system)
        low, high = (self._round_for_speech(figure, edge) for edge in (figure.low, figure.high))
        if low == high:
            return ""
        if is_at_limit(figure):
            return f"between {self.say_number(low)} and more than {self.say_number(high)}"
        if unit in MONEY:
            first, second = self._say_amount(low, unit), self._say_amount(high, unit)
            if first.split()[-1] == second.split()[-1]:
                first = " ".join(first.split()[:-1])
            return f"between {first} and {second}"
        return f"between {self.say_number(low)} and {self.say_number(high)}"

    def say_figure(self, figure: Figure) -> str:
        """A figure's value and interval."""
        return "; ".join(filter(None, (self.say_value(figure), self.say_interval(figure))))

    def can_say(self, figure: Figure) -> bool:
        """Whether value and interval are finite."""
        return all(map(math.isfinite, (figure.value, figure.low, figure.high)))

    def _round_for_speech(self, figure: Figure, value: float) -> Decimal:
        """A value of a figure rounded for speech, no finer than the page shows it."""
        shown = round(
            value * self._unit_factor(figure.kind), show.count_decimals(figure, self.system)
        )
        return round_digits(shown)

    def _unit_factor(self, kind: FigureKind) -> float:
        return show.get_scale(kind, self.system).factor

    def _say_amount(self, number: Decimal, unit: str) -> str:
        if unit in MONEY:
            return self._say_money(number, *MONEY[unit])
        return self._join_unit(self.say_number(number), UNITS.get(unit, UnitName(unit, unit)))

    def _say_money(self, number: Decimal, whole: UnitName, part: UnitName) -> str:
        """An amount such as `three thousand three hundred euros`, `one euro ninety` or `eighteen cents`."""
        cents = int((abs(number) * 100).to_integral_value(ROUND_HALF_UP))
        units, rest = divmod(cents, 100)
        minus = "minus " if number < 0 and cents else ""
        if units == 0 and rest:
            return minus + self._join_unit(self.say_number(rest), part)
        said = minus + self._join_unit(self.say_number(units), whole)
        return f"{said} {self.say_number(rest)}" if rest else said

    def _join_unit(self, words: str, name: UnitName) -> str:
        unit = name.one if words in ("one", "minus one") else name.several
        if self.american:
            for british, american in _AMERICAN:
                unit = unit.replace(british, american)
        return f"{words} {unit}".rstrip()


def _is_close(one: float, other: float) -> bool:
    return math.isclose(one, other, rel_tol=1e-5)
