"""Figures as they are said aloud: "about forty-four kilometres; between thirty-six and fifty-two".

Two significant digits are what a listener keeps, and what most of the figures can bear. Numbers in words come from the
library `inflect`; units, money and the order of the words are ours.

* Voice    says figures in one unit system and one spelling
"""

import math
from decimal import ROUND_HALF_UP, Context, Decimal
from functools import cache
from typing import Any, NamedTuple

from generator.figures import show
from generator.figures.model import Figure, Kind
from generator.handout.conditions import at_its_limit

DIGITS = 2
"""Significant digits that are said."""


class Name(NamedTuple):
    """What one and what several of a unit are called."""

    one: str
    several: str


def _plain(word: str, rest: str = "") -> Name:
    return Name(word + rest, f"{word}s{rest}")


UNITS = {
    "": Name("", ""),
    "km": _plain("kilometre"),
    "m": _plain("metre"),
    "mm": _plain("millimetre"),
    "mi": _plain("mile"),
    "ft": Name("foot", "feet"),
    "in": Name("inch", "inches"),
    "km/h": _plain("kilometre", " an hour"),
    "mph": _plain("mile", " an hour"),
    "m/s": _plain("metre", " a second"),
    "kg": _plain("kilogram"),
    "lb": _plain("pound"),
    "W": _plain("watt"),
    "N": _plain("newton"),
    "N·m": _plain("newton metre"),
    "Wh": _plain("watt-hour"),
    "Wh/km": _plain("watt-hour", " a kilometre"),
    "Wh/mi": _plain("watt-hour", " a mile"),
    "%": Name("per cent", "per cent"),
    "s": _plain("second"),
    "min": _plain("minute"),
    "h": _plain("hour"),
    "°": _plain("degree"),
    "°C": _plain("degree", " Celsius"),
    "rpm": _plain("turn", " a minute"),
    "m/s²": _plain("metre", " per second squared"),
    "ft/s²": Name("foot per second squared", "feet per second squared"),
    "m/s³": _plain("metre", " per second cubed"),
    "ft/s³": Name("foot per second cubed", "feet per second cubed"),
    "A": _plain("ampere"),
    "V": _plain("volt"),
    "C": Name("C", "C"),
}
"""By symbol, in British spelling."""

MONEY = {
    "EUR": (_plain("euro"), _plain("cent")),
    "USD": (_plain("dollar"), _plain("cent")),
    "CAD": (_plain("Canadian dollar"), _plain("cent")),
    "AUD": (_plain("Australian dollar"), _plain("cent")),
    "NZD": (_plain("New Zealand dollar"), _plain("cent")),
    "GBP": (_plain("pound"), Name("penny", "pence")),
    "CHF": (_plain("franc"), _plain("centime")),
    "SEK": (Name("krona", "kronor"), Name("öre", "öre")),
    "NOK": (Name("krone", "kroner"), Name("øre", "øre")),
    "DKK": (Name("krone", "kroner"), Name("øre", "øre")),
}
"""By ISO 4217 code: whole and hundredth. Another currency is said by its code."""

_AMERICAN = (("metre", "meter"), ("per cent", "percent"))


@cache
def _engine() -> Any:
    import inflect  # slow to import

    return inflect.engine()


def rounded(value: float, digits: int = DIGITS) -> Decimal:
    """To so many significant digits, halves away from zero."""
    exact = Decimal(repr(float(value)))
    return Context(prec=digits, rounding=ROUND_HALF_UP).plus(exact)


class Voice:
    def __init__(self, system: show.System, language: str = "en-GB") -> None:
        self.system = system
        self.american = language.lower() == "en-us"

    def number(self, value: float | Decimal) -> str:
        """A number in words, every digit of it: 1050 is `one thousand and fifty`."""
        exact = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
        digits = f"{exact:f}"
        if "." in digits:
            digits = digits.rstrip("0").rstrip(".")
        digits = "0" if digits in ("-0", "") else digits
        words: str = _engine().number_to_words(
            digits, andword="" if self.american else "and", comma=""
        )
        return words

    def value(self, figure: Figure) -> str:
        """`about forty-four kilometres`; without `about` where nothing is uncertain and nothing was rounded."""
        said = self._said(figure, figure.value)
        if at_its_limit(figure):
            return f"at least {self._amount(said, show.unit(figure.kind, self.system))}"
        words = self._amount(said, show.unit(figure.kind, self.system))
        exact = figure.low == figure.high and _close(
            float(said), figure.value * self._factor(figure.kind)
        )
        return words if exact else f"about {words}"

    def interval(self, figure: Figure) -> str:
        """`between thirty-six and fifty-two`; empty when no input is uncertain or both ends are said alike."""
        unit = show.unit(figure.kind, self.system)
        low, high = (self._said(figure, edge) for edge in (figure.low, figure.high))
        if low == high:
            return ""
        if at_its_limit(figure):
            return f"between {self.number(low)} and more than {self.number(high)}"
        if unit in MONEY:
            first, second = self._amount(low, unit), self._amount(high, unit)
            if first.split()[-1] == second.split()[-1]:
                first = " ".join(first.split()[:-1])
            return f"between {first} and {second}"
        return f"between {self.number(low)} and {self.number(high)}"

    def saying(self, figure: Figure) -> str:
        """Value and interval."""
        return "; ".join(filter(None, (self.value(figure), self.interval(figure))))

    def can_say(self, figure: Figure) -> bool:
        return all(map(math.isfinite, (figure.value, figure.low, figure.high)))

    def _said(self, figure: Figure, value: float) -> Decimal:
        """A value of a figure as it is said: no finer than the page shows it."""
        shown = round(value * self._factor(figure.kind), show.decimals(figure, self.system))
        return rounded(shown)

    def _factor(self, kind: Kind) -> float:
        return show.scale(kind, self.system).factor

    def _amount(self, number: Decimal, unit: str) -> str:
        if unit in MONEY:
            return self._money(number, *MONEY[unit])
        return self._joined(self.number(number), UNITS.get(unit, Name(unit, unit)))

    def _money(self, number: Decimal, whole: Name, part: Name) -> str:
        """`three thousand three hundred euros`, `one euro ninety`, `eighteen cents`."""
        cents = int((abs(number) * 100).to_integral_value(ROUND_HALF_UP))
        units, rest = divmod(cents, 100)
        minus = "minus " if number < 0 and cents else ""
        if units == 0 and rest:
            return minus + self._joined(self.number(rest), part)
        said = minus + self._joined(self.number(units), whole)
        return f"{said} {self.number(rest)}" if rest else said

    def _joined(self, words: str, name: Name) -> str:
        unit = name.one if words in ("one", "minus one") else name.several
        if self.american:
            for british, american in _AMERICAN:
                unit = unit.replace(british, american)
        return f"{words} {unit}".rstrip()


def _close(one: float, other: float) -> bool:
    return math.isclose(one, other, rel_tol=1e-5)
