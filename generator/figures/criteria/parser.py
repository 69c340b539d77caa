"""Parser of a criterion's condition: bounds and choices, or the problem with it.

* read_bounds    `under 2000 EUR`, `between 20 and 30 kg`, `over spec.assisted_speed` → Bounds
* read_choice    `torque or switchable`, `not cadence` → Choice
* suggest_name   a hint for a name that does not exist
"""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal

from generator.figures import show
from generator.figures.model import FigureKind
from generator.figures.show import UnitSystem, round_value
from generator.specs.quantity import NUMBER, Quantity, QuantityError, parse_quantity
from generator.specs.yaml.located import quote_value

Relation = Literal["under", "at most", "over", "at least"]

RELATIONS: dict[str, Relation] = {
    "under": "under",
    "below": "under",
    "less than": "under",
    "at most": "at most",
    "up to": "at most",
    "no more than": "at most",
    "over": "over",
    "above": "over",
    "more than": "over",
    "at least": "at least",
    "from": "at least",
    "no less than": "at least",
}
SIGNS: dict[str, Relation] = {"<=": "at most", "≤": "at most", ">=": "at least", "≥": "at least",
                              "<": "under", ">": "over"}  # fmt: skip
LONGEST = 200
"""Most characters of one criterion."""
FURTHEST = 1e9
"""Largest bound that is taken seriously, in any unit."""

DIMENSIONS = {
    "kg": "mass", "m": "length", "m/s": "speed", "s": "time", "W": "power", "N·m": "torque",
    "J": "energy", "A": "current", "V": "voltage", "rad": "angle", "1/s": "cadence", "1": "ratio",
    "°C": "temperature",
}  # fmt: skip
"""Dimension in spec files by the SI symbol of a figure's unit. `_read_own_units` reads other units."""

_RELATION = "|".join(RELATIONS)
_PART = re.compile(
    rf"(?:between (?P<low>.+?) and (?P<high>.+?)|(?P<relation>{_RELATION}) (?P<bound>.+?))"
    rf"(?: and (?=between |(?:{_RELATION}) )|$)",
    re.IGNORECASE,
)
_MONEY = re.compile("[A-Z]{3}")
_ID = re.compile(r"[a-z][a-z0-9_]*(?:\.[a-z0-9_]+)+")
_TAIL = re.compile(r"^([-+0-9.eE ]*)(.*)$")


@dataclass(frozen=True)
class CriterionProblem:
    """A problem with one criterion; the caller knows its line."""

    key: str
    what: str
    """One sentence without a full stop."""
    mend: str


class CriterionError(Exception):
    """A problem with a condition, which `read_criteria` turns into a `CriterionProblem`."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(what)
        self.what, self.mend = what, mend


@dataclass(frozen=True)
class Bound:
    """A lower or upper bound of a figure."""

    relation: Relation
    value: float
    """SI, to six significant digits like every figure; 0 where another figure is the bound."""
    text: str
    """The bound as readers see it, such as `25 kg`, or the other figure's short name."""
    currency: str = ""
    other: str = ""
    """Id of the figure that is the bound; empty for a number."""
    system: UnitSystem = "metric"
    """Unit system in which it was written."""

    @property
    def words(self) -> str:
        return f"{self.relation} {self.text}"

    def holds(self, value: float, bound: float) -> bool:
        match self.relation:
            case "under":
                return value < bound
            case "at most":
                return value <= bound
            case "over":
                return value > bound
        return value >= bound


@dataclass(frozen=True)
class Choice:
    """Words of which a field must have any, all or none."""

    words: tuple[str, ...]
    way: Literal["any", "all", "none"] = "any"

    def holds(self, own: Collection[str]) -> bool:
        folded = {word.casefold() for word in own}
        match self.way:
            case "any":
                return any(word.casefold() in folded for word in self.words)
            case "all":
                return all(word.casefold() in folded for word in self.words)
        return not any(word.casefold() in folded for word in self.words)

    @property
    def text(self) -> str:
        if self.way == "none":
            return "not " + " or ".join(self.words)
        return (" or " if self.way == "any" else " and ").join(self.words)


def read_bounds(text: str, kind: FigureKind, kinds: Mapping[str, FigureKind]) -> tuple[Bound, ...]:
    """Bounds stated by a condition. Raises `CriterionError`."""
    found: list[Bound] = []
    end = 0
    while end < len(text):
        part = _PART.match(text, end)
        if part is None:
            raise _report_relation(text[end:], kind)
        if part["relation"]:
            relation = RELATIONS[part["relation"].lower()]
            found.append(_read_bound(relation, part["bound"], kind, kinds))
        else:
            found += _read_between(part["low"], part["high"], kind, kinds)
        end = part.end()
    if not found:
        raise _report_relation(text, kind)
    return tuple(found)


def read_choice(text: str, known: Collection[str], several: bool, free: bool = False) -> Choice:
    """Choice stated by a condition, of `known` words unless it is `free`. Raises `CriterionError`."""
    words, way = text, "any"
    if words.lower().startswith(("not ", "neither ")):
        words, way = words.split(" ", 1)[1], "none"
        parts = re.split(r" or | nor |, ?", words)
    elif " and " in words and not free:
        parts, way = re.split(r" and |, ?", words), "all"
        if any(" or " in part for part in parts):
            mend = "Write two criteria, or leave one of the two words out"
            raise CriterionError(f"{quote_value(text)} mixes 'and' with 'or'", mend)
    else:
        parts = re.split(r" or |, ?", words)
    wanted = tuple(dict.fromkeys(part.strip() for part in parts))
    if not all(wanted):
        raise CriterionError(
            f"{quote_value(text)} lacks a word", f"Write one of: {', '.join(known)}"
        )
    if not free:
        wanted = tuple(_match_word(word, known) for word in wanted)
    if way == "all" and not several and len(wanted) > 1:
        mend = f"Write {quote_value(' or '.join(wanted))}"
        raise CriterionError(f"{quote_value(text)}: a bike has one of these, never both", mend)
    return Choice(wanted, way)  # type: ignore[arg-type]  # one of the three words above


def _match_word(word: str, known: Collection[str]) -> str:
    folded = {each.casefold(): each for each in known}
    plain = word.casefold().replace("_", " ")
    if plain in folded:
        return folded[plain]
    near = [each for each in known if plain and plain in each.casefold().split()]
    near = near or get_close_matches(plain, list(known), 1, 0.5)
    listed = f"Write one of: {', '.join(known)}"
    mend = f"Did you mean {quote_value(' or '.join(near))}? {listed}" if near else listed
    raise CriterionError(f"{quote_value(word)} is not one of the words known here", mend)


def _read_between(
    low: str, high: str, kind: FigureKind, kinds: Mapping[str, FigureKind]
) -> list[Bound]:
    if (number := NUMBER.fullmatch(low)) and not number[2]:
        unit = _TAIL.match(high)
        low = f"{low} {unit[2]}" if unit else low
    lowest = _read_bound("at least", low, kind, kinds)
    highest = _read_bound("at most", high, kind, kinds)
    plain = not lowest.other and not highest.other
    if plain and lowest.value > highest.value:
        mend = f"Write 'between {plain_spaces(highest.text)} and {plain_spaces(lowest.text)}'"
        raise CriterionError(f"nothing lies between {lowest.text} and {highest.text}", mend)
    return [lowest, highest]


def _read_bound(
    relation: Relation, text: str, kind: FigureKind, kinds: Mapping[str, FigureKind]
) -> Bound:
    text = text.strip()
    if _ID.fullmatch(text) or text in kinds:
        return _read_figure_bound(relation, text, kind, kinds)
    if f"spec.{text}" in kinds:
        return _read_figure_bound(relation, f"spec.{text}", kind, kinds)
    if _MONEY.fullmatch(kind.unit.si):
        return _read_money(relation, text, kind)
    dimension = DIMENSIONS.get(kind.unit.si)
    try:
        if dimension is None:
            return _read_own_units(relation, text, kind)
        quantity = parse_quantity(text, dimension, _example_value(kind))
    except QuantityError as error:
        raise CriterionError(error.what, error.mend) from error
    value, symbol = quantity.value, quantity.unit.symbol
    if kind.unit.si == "1/s":  # a figure counts turns, a spec file radians
        value /= parse_quantity("1 rpm", "cadence").value * 60
    if dimension == "ratio" and not symbol and kind.unit.metric.unit == "%":
        number = _number_text(quantity)
        raise CriterionError(f"{quote_value(text)} has no unit", f"Write '{number} %'")
    return _build_bound(relation, quantity, value, symbol, kind)


def _read_money(relation: Relation, text: str, kind: FigureKind) -> Bound:
    """Bound that is an amount of money: in any currency for a list price, else in the figure's own."""
    own = kind.unit.si
    match = re.fullmatch(r"(.*?) ?([A-Za-z]{3}|[€$£¥])?", text)
    number, currency = (match[1], match[2] or "") if match else (text, "")
    try:
        amount = parse_quantity(number, "ratio", f"2000 {own}")
    except QuantityError as error:
        raise CriterionError(error.what, f"Write an amount and its currency, such as 2000 {own}") from error  # fmt: skip
    if not currency or amount.unit.symbol:
        raise CriterionError(
            f"{quote_value(text)} has no currency", f"Write '{_number_text(amount)} {own}'"
        )
    if not _MONEY.fullmatch(currency):
        right = currency.upper() if currency.isalpha() else own
        what = f"{quote_value(currency)} is not a three-letter currency"
        raise CriterionError(what, f"Write '{_number_text(amount)} {right}'")
    if currency != own and kind.id != "spec.price":
        what = f"{kind.title.lower()} is worked out in {own}, and nothing is converted"
        raise CriterionError(what, f"Write the bound in {own}")
    return _build_bound(relation, amount, amount.value, currency, kind, currency)


def _read_own_units(relation: Relation, text: str, kind: FigureKind) -> Bound:
    """Bound of a figure whose dimension spec files lack, in one of the figure's own two units."""
    match = NUMBER.fullmatch(text)
    number, symbol = (match[1], match[2].strip()) if match else (text, "")
    quantity = parse_quantity(number, "ratio", _example_value(kind))
    symbol = symbol.replace("s2", "s²").replace("s3", "s³").replace("^", "")
    for scale in (kind.unit.metric, kind.unit.us):
        if symbol == scale.unit:
            return _build_bound(relation, quantity, quantity.value / scale.factor, symbol, kind)
    both = dict.fromkeys((kind.unit.metric.unit, kind.unit.us.unit))
    right = " or ".join(f"'{_number_text(quantity)} {unit}'" for unit in both)
    what = (
        f"{quote_value(text)} has no unit"
        if not symbol
        else f"{quote_value(symbol)} is no unit of this"
    )
    raise CriterionError(f"{what}: {kind.title.lower()}", f"Write {right}")


def _build_bound(
    relation: Relation,
    read: Quantity,
    value: float,
    symbol: str,
    kind: FigureKind,
    currency: str = "",
) -> Bound:
    number = _number_text(read)
    if abs(read.number) > FURTHEST:
        raise CriterionError("the bound is far beyond anything a bike has", "Write a likely number")
    us = symbol == kind.unit.us.unit != kind.unit.metric.unit
    text = show.join_unit(number, symbol)
    return Bound(relation, round_value(value), text, currency, system="us" if us else "metric")


def _read_figure_bound(
    relation: Relation, id: str, kind: FigureKind, kinds: Mapping[str, FigureKind]
) -> Bound:
    other = kinds.get(id)
    if other is None:
        raise CriterionError(f"there is no figure {quote_value(id)}", suggest_name(id, kinds))
    if other.unit.si != kind.unit.si:
        what = (
            f"{other.title.lower()} cannot be held against {kind.title.lower()}: their units differ"
        )
        raise CriterionError(what, f"Name a figure in {kind.unit.metric.unit or 'bare numbers'}")
    if other.id == kind.id:
        raise CriterionError("a figure cannot be its own bound", "Name another figure, or a number")
    return Bound(relation, 0.0, other.short.lower(), other=id)


def _report_relation(text: str, kind: FigureKind) -> CriterionError:
    for sign, relation in SIGNS.items():
        if text.startswith(sign):
            plain = text[len(sign) :].strip()
            return CriterionError(
                f"{quote_value(text)} begins with a sign", f"Write '{relation} {plain[:40]}'"
            )
    example = _example_value(kind)
    if NUMBER.fullmatch(text):
        what = f"{quote_value(text)} does not say on which side"
        return CriterionError(what, f"Write 'at most {text[:40]}' or 'at least {text[:40]}'")
    words = "under, at most, over, at least, between … and …"
    what = f"{quote_value(text)} is no bound"
    return CriterionError(what, f"Begin with one of: {words}; such as 'at most {example}'")


def suggest_name(name: str, known: Collection[str]) -> str:
    close = get_close_matches(name, list(known), 1, 0.5)
    if close:
        return f"Did you mean {quote_value(close[0])}?"
    return "The page 'How each figure is worked out' lists every figure"


def plain_spaces(text: str) -> str:
    """A bound with plain spaces, as typed at a keyboard."""
    return text.replace("\N{NO-BREAK SPACE}", " ").replace(show.NARROW_SPACE, "")


def _example_value(kind: FigureKind) -> str:
    unit = kind.unit.metric.unit
    return f"2000 {unit}" if _MONEY.fullmatch(unit) else f"20 {unit}".strip()


def _number_text(quantity: Quantity) -> str:
    """The number as written, with a plain minus and at most four decimals."""
    text = quantity.text.strip().split(" ")[0]
    places = min(4, len(re.sub(r"[^0-9].*", "", text.partition(".")[2])))
    if abs(quantity.number) > FURTHEST:
        return text[:20]
    return show.format_digits(quantity.number, places)
