"""From words such as `60 lb` to an SI value, or to what is wrong with them.

* parse_quantity    the quantity that a text states in a given dimension
* check_quantity    the quantity of a spec file's value under a rule of dimension and plausible span
* QuantityError     what is wrong and what would be right
"""

import difflib
import math
import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from generator.specs.units import BY_SYMBOL, DIMENSIONS, ORDINARY, SPELLINGS, UNITS, Unit
from generator.specs.yaml.located import quote_value

NUMBER = re.compile(
    r"([-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?)(?![.,0-9])\s*(.*)", re.ASCII
)
THOUSANDS = re.compile(r"[-+]?[1-9][0-9]{0,2}(?:[,' ][0-9]{3})+(?![0-9,])")
COMMA = re.compile(r"([-+]?[0-9]+),([0-9]+)(?![0-9,])")
FRACTION = re.compile(
    r"([-+]?)(?:([0-9]+)[ -]*)??(?:([0-9]+)[/⁄]([0-9]*[1-9][0-9]*)|([¼-¾⅐-⅞]))\s*([^0-9]*)"
)
SPAN = re.compile(r"[0-9.]+\s*[^0-9\seE]{0,5}\s*(?:-|–|—|to|…|\.\.+)\s*[0-9.]+")
SIGNS = str.maketrans(
    {"\u00a0": " ", "\u202f": " ", "\u2009": " ", "−": "-", "⋅": "·", "∙": "·", "•": "·",
     "×": "·", "º": "°", "℃": "°C", "℉": "°F", "％": "%"}
)  # fmt: skip
LETTER_O = re.compile(r"(?=[^ ]*[0-9])([-+]?[0-9oO.]*[oO][0-9oO.]*)((?: .*)?)")
NOT_FINITE = re.compile(r"[-+.]*(?:nan|inf)", re.IGNORECASE)
OTHER_SYSTEM = {
    "km": "mi", "km/h": "mph", "kg": "lb", "N·m": "lb·ft", "bar": "psi", "°C": "°F", "W": "kW",
    "Wh": "kWh",
}  # fmt: skip
"""The other unit that people may have meant."""
LONGEST = 40


@dataclass(frozen=True)
class Quantity:
    """A number with a unit."""

    value: float
    """SI value; temperatures in °C."""
    number: float
    """The number as written."""
    unit: Unit
    text: str
    """The whole text as written."""


class QuantityError(ValueError):
    """A text that is not a quantity of the dimension wanted."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(what)
        self.what = what
        self.mend = mend


def check_quantity(value: object, rule: Mapping[str, str], example: str = "") -> Quantity:
    """The quantity of a value under a rule `{dimension, min, max}`; min and max may be absent.

    `example` is a text of the right form, for the advice in a QuantityError.
    """
    dimension = rule["dimension"]
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        mend = f"Write {DIMENSIONS[dimension].article} {dimension}"
        mend += f", such as {example}" if example else ""
        raise QuantityError(f"{quote_value(value)} is not a number with a unit", mend)
    quantity = parse_quantity(str(value), dimension, example)
    low, high = (
        parse_quantity(rule[key], dimension) if key in rule else None for key in ("min", "max")
    )
    beyond = 1e-9 * abs(quantity.value)
    if low and quantity.value < low.value - beyond:
        what = f"{quote_value(value)} is less than {low.text}, the least that is plausible here"
        raise QuantityError(what, _advise_unit(quantity, low, high))
    if high and quantity.value > high.value + beyond:
        what = f"{quote_value(value)} is more than {high.text}, the most that is plausible here"
        raise QuantityError(what, _advise_unit(quantity, low, high))
    return quantity


@lru_cache(maxsize=4096)
def parse_quantity(text: str, dimension: str, example: str = "") -> Quantity:
    """The quantity that `text` states. `dimension` is a key of `units.DIMENSIONS`.

    `example` is a text of the right form, for the advice. Raises QuantityError for a missing or
    wrong unit, decimal commas, spans, and numbers that are not finite.
    """
    words = text.strip().translate(SIGNS)
    match = NUMBER.fullmatch(words) if len(words) <= LONGEST else None
    if len(words) <= LONGEST and (fraction := FRACTION.fullmatch(words)):
        mend = f"Write {quote_value(_format_fraction(*fraction.groups()))}, as a decimal"
        raise QuantityError(f"{quote_value(text)} is written with a fraction", mend)
    if len(words) <= LONGEST and (letter := LETTER_O.fullmatch(words)):
        right = letter[1].replace("O", "0").replace("o", "0") + letter[2]
        raise QuantityError(
            f"{quote_value(text)} has a letter O in its number",
            f"Is the O a zero? Write {quote_value(right)}",
        )
    if match is None or THOUSANDS.match(words) or SPAN.match(words):
        raise _make_number_error(
            words, text, example or _format_quantity(DIMENSIONS[dimension].usual[0], "12")
        )
    number = float(match[1])
    unit = _find_unit(match[2].strip(), match[1], text, dimension, example)
    value = unit.to_si(number)
    if not math.isfinite(value):
        raise QuantityError(f"{quote_value(text)} is too large a number", "Write its real size")
    return Quantity(value, number, unit, text)


def _make_number_error(words: str, text: str, example: str) -> QuantityError:
    """The error of a text that does not begin with one plain number."""
    if thousands := THOUSANDS.match(words):
        plain = re.sub("[,' ]", "", thousands[0]) + words[thousands.end() :]
        mend = f"Write {quote_value(plain)}"
        if comma := COMMA.match(words):
            mend += f", or '{comma[1]}.{comma[2]}{words[comma.end() :]}' if a decimal is meant"
        return QuantityError(f"{quote_value(text)} has a separator inside its number", mend)
    if comma := COMMA.match(words):
        mend = f"Write '{comma[1]}.{comma[2]}{words[comma.end() :]}', with a decimal point"
        return QuantityError(f"{quote_value(text)} has a decimal comma", mend)
    if SPAN.match(words):
        return QuantityError(
            f"{quote_value(text)} is a span", f"Write one value, such as {example}"
        )
    if NOT_FINITE.match(words):
        mend = f"Write the number, such as {example}, or delete the line"
        return QuantityError(f"{quote_value(text)} is not a finite number", mend)
    mend = f"Write a number and a unit and nothing else, such as {example}"
    return QuantityError(f"{quote_value(text)} is not one plain number with a unit", mend)


def _format_fraction(
    sign: str, whole: str | None, above: str, below: str, one: str | None, rest: str
) -> str:
    """`44.5 in` for the parts of `44 1/2 in` or `44½ in`."""
    part = unicodedata.numeric(one) if one else int(above) / int(below)
    number = f"{int(whole or 0) + part:.3f}".rstrip("0").rstrip(".")
    return f"{sign}{_format_quantity(SPELLINGS.get(rest, rest), number)}".strip()


def _find_unit(symbol: str, number: str, text: str, dimension: str, example: str) -> Unit:
    """The unit of this dimension that a symbol stands for."""
    wanted = DIMENSIONS[dimension]
    unit = BY_SYMBOL.get(SPELLINGS.get(symbol, symbol))
    if unit is not None and unit.dimension == dimension:
        return unit
    usual = list(wanted.usual)
    if example and (match := NUMBER.fullmatch(example)):
        usual.sort(key=lambda each: each != match[2])
    if unit is not None and unit.symbol:
        found = DIMENSIONS[unit.dimension]
        what = f"{quote_value(text)} is {found.article} {found.name}; {dimension} wants {_join_units(usual)}"
        like = example or _format_quantity(usual[0], number)
        raise QuantityError(what, f"Write {wanted.article} {dimension}, such as {like}")
    if not symbol:
        both = [usual[0], OTHER_SYSTEM.get(usual[0], usual[0])]
        mend = (
            f"Write {_join_units([_format_quantity(each, number) for each in dict.fromkeys(both)])}"
        )
        raise QuantityError(f"{quote_value(text)} has no unit", mend)
    first = BY_SYMBOL.get(SPELLINGS.get(symbol.split(" ")[0], symbol.split(" ")[0]))
    if first is not None and first.dimension == dimension and first.symbol:
        what = f"{quote_value(text)} says more than one number with its unit"
        raise QuantityError(
            what, f"Write '{_format_quantity(first.symbol, number)}' and nothing else"
        )
    right = [each.symbol for each in UNITS if each.dimension == dimension and each.symbol]
    spelled = right + [words for words, known in SPELLINGS.items() if known in right]
    folded = {words.casefold(): SPELLINGS.get(words, words) for words in reversed(spelled)}
    near = difflib.get_close_matches(symbol.casefold(), folded, 1, 0.5)
    mend = f"Units of {dimension} are {_join_units(right)}"
    if near:
        mend = f"Did you mean '{_format_quantity(folded[near[0]], number)}'? {mend}"
    raise QuantityError(
        f"{quote_value(symbol)} in {quote_value(text)} is not a unit of {dimension}", mend
    )


def _advise_unit(quantity: Quantity, low: Quantity | None, high: Quantity | None) -> str:
    """Advice on an implausible value: another unit for its number, when that would be plausible."""
    least, most = (low.value if low else -math.inf), (high.value if high else math.inf)
    number = quantity.text.strip().removesuffix(quantity.unit.symbol).strip()
    scant = least * 2 if quantity.value < least else -math.inf
    for unit in UNITS:
        fits = unit.dimension == quantity.unit.dimension and unit.symbol in ORDINARY
        if (
            fits
            and unit != quantity.unit
            and (max(least, scant) <= unit.to_si(quantity.number) <= most)
        ):
            return f"Check the number and the unit; '{_format_quantity(unit.symbol, number)}' would fit"
    if quantity.value < least <= quantity.value * 10 <= most:
        return "Check the number against the source; a digit may be missing"
    return "Check the number and the unit against the source"


def _join_units(words: Sequence[str]) -> str:
    """Unit symbols as a choice: `mm, cm or m`; for ratios also the bare number."""
    *most, last = words
    if list(words) == ["%"]:
        return "% or a bare number"
    return f"{', '.join(most)} or {last}" if most else last


def _format_quantity(symbol: str, number: str) -> str:
    return f"{number} {symbol}"
