"""From the words of a criterion to bounds and choices, or to what is wrong with them.

* bounds_of      `under 2000 EUR`, `between 20 and 30 kg`, `over spec.assisted_speed` → Bounds
* choice_of      `torque or switchable`, `not cadence` → Choice
"""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal

from generator.figures import show
from generator.figures.model import Kind
from generator.figures.show import System, rounded
from generator.specs.quantity import NUMBER, Quantity, QuantityError, parse
from generator.specs.yaml.located import shown

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
"""Characters of one criterion."""
FURTHEST = 1e9
"""A bound beyond this is a slip in any unit."""

DIMENSIONS = {
    "kg": "mass", "m": "length", "m/s": "speed", "s": "time", "W": "power", "N·m": "torque",
    "J": "energy", "A": "current", "V": "voltage", "rad": "angle", "1/s": "cadence", "1": "ratio",
    "°C": "temperature",
}  # fmt: skip
"""By the SI symbol of a figure's unit: what a spec file calls it. Other units are read by `_in_units`."""

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
class Wrong:
    """What is wrong with one criterion; the caller knows its line."""

    key: str
    what: str
    """One sentence without a full stop."""
    mend: str


class WrongError(Exception):
    """Raised inside, turned into a `Wrong` by the reader."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(what)
        self.what, self.mend = what, mend


@dataclass(frozen=True)
class Bound:
    """One side of what a figure may be."""

    relation: Relation
    value: float
    """SI, to six significant digits like every figure; 0 where another figure is the bound."""
    text: str
    """As a reader sees it, such as `25 kg`; empty where another figure is the bound."""
    currency: str = ""
    other: str = ""
    """Id of the figure that is the bound."""
    system: System = "metric"
    """In whose units it was written."""

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
    """Words of which a field must have some, all or none."""

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


def bounds_of(text: str, kind: Kind, kinds: Mapping[str, Kind]) -> tuple[Bound, ...]:
    """The bounds that a criterion states. Raises WrongError."""
    found: list[Bound] = []
    end = 0
    while end < len(text):
        part = _PART.match(text, end)
        if part is None:
            raise _no_relation(text[end:], kind)
        if part["relation"]:
            relation = RELATIONS[part["relation"].lower()]
            found.append(_bound(relation, part["bound"], kind, kinds))
        else:
            found += _between(part["low"], part["high"], kind, kinds)
        end = part.end()
    if not found:
        raise _no_relation(text, kind)
    return tuple(found)


def choice_of(text: str, known: Collection[str], several: bool, free: bool = False) -> Choice:
    """The choice that a criterion states, of `known` words unless any text goes. Raises WrongError."""
    words, way = text, "any"
    if words.lower().startswith(("not ", "neither ")):
        words, way = words.split(" ", 1)[1], "none"
        parts = re.split(r" or | nor |, ?", words)
    elif " and " in words and not free:
        parts, way = re.split(r" and |, ?", words), "all"
        if any(" or " in part for part in parts):
            mend = "Write two criteria, or leave one of the two words out"
            raise WrongError(f"{shown(text)} mixes 'and' with 'or'", mend)
    else:
        parts = re.split(r" or |, ?", words)
    wanted = tuple(dict.fromkeys(part.strip() for part in parts))
    if not all(wanted):
        raise WrongError(f"{shown(text)} lacks a word", f"Write one of: {', '.join(known)}")
    if not free:
        wanted = tuple(_known(word, known) for word in wanted)
    if way == "all" and not several and len(wanted) > 1:
        mend = f"Write {shown(' or '.join(wanted))}"
        raise WrongError(f"{shown(text)}: a bike has one of these, never both", mend)
    return Choice(wanted, way)  # type: ignore[arg-type]  # one of the three words above


def _known(word: str, known: Collection[str]) -> str:
    folded = {each.casefold(): each for each in known}
    plain = word.casefold().replace("_", " ")
    if plain in folded:
        return folded[plain]
    near = [each for each in known if plain and plain in each.casefold().split()]
    near = near or get_close_matches(plain, list(known), 1, 0.5)
    listed = f"Write one of: {', '.join(known)}"
    mend = f"Did you mean {shown(' or '.join(near))}? {listed}" if near else listed
    raise WrongError(f"{shown(word)} is not one of the words known here", mend)


def _between(low: str, high: str, kind: Kind, kinds: Mapping[str, Kind]) -> list[Bound]:
    if (number := NUMBER.fullmatch(low)) and not number[2]:
        unit = _TAIL.match(high)
        low = f"{low} {unit[2]}" if unit else low
    lowest = _bound("at least", low, kind, kinds)
    highest = _bound("at most", high, kind, kinds)
    plain = not lowest.other and not highest.other
    if plain and lowest.value > highest.value:
        mend = f"Write 'between {typed(highest.text)} and {typed(lowest.text)}'"
        raise WrongError(f"nothing lies between {lowest.text} and {highest.text}", mend)
    return [lowest, highest]


def _bound(relation: Relation, text: str, kind: Kind, kinds: Mapping[str, Kind]) -> Bound:
    text = text.strip()
    if _ID.fullmatch(text) or text in kinds:
        return _other(relation, text, kind, kinds)
    if f"spec.{text}" in kinds:
        return _other(relation, f"spec.{text}", kind, kinds)
    if _MONEY.fullmatch(kind.unit.si):
        return _money(relation, text, kind)
    dimension = DIMENSIONS.get(kind.unit.si)
    try:
        if dimension is None:
            return _in_units(relation, text, kind)
        quantity = parse(text, dimension, _example(kind))
    except QuantityError as error:
        raise WrongError(error.what, error.mend) from error
    value, symbol = quantity.value, quantity.unit.symbol
    if kind.unit.si == "1/s":  # a figure counts turns, a spec file radians
        value /= parse("1 rpm", "cadence").value * 60
    if dimension == "ratio" and not symbol and kind.unit.metric.unit == "%":
        number = _number(quantity)
        raise WrongError(f"{shown(text)} has no unit", f"Write '{number} %'")
    return _made(relation, quantity, value, symbol, kind)


def _money(relation: Relation, text: str, kind: Kind) -> Bound:
    """An amount in a currency; of any currency for a list price, of the figure's own else."""
    own = kind.unit.si
    match = re.fullmatch(r"(.*?) ?([A-Za-z]{3}|[€$£¥])?", text)
    number, currency = (match[1], match[2] or "") if match else (text, "")
    try:
        amount = parse(number, "ratio", f"2000 {own}")
    except QuantityError as error:
        raise WrongError(error.what, f"Write an amount and its currency, such as 2000 {own}") from error  # fmt: skip
    if not currency or amount.unit.symbol:
        raise WrongError(f"{shown(text)} has no currency", f"Write '{_number(amount)} {own}'")
    if not _MONEY.fullmatch(currency):
        right = currency.upper() if currency.isalpha() else own
        what = f"{shown(currency)} is not a three-letter currency"
        raise WrongError(what, f"Write '{_number(amount)} {right}'")
    if currency != own and kind.id != "spec.price":
        what = f"{kind.title.lower()} is worked out in {own}, and nothing is converted"
        raise WrongError(what, f"Write the bound in {own}")
    return _made(relation, amount, amount.value, currency, kind, currency)


def _in_units(relation: Relation, text: str, kind: Kind) -> Bound:
    """A quantity whose dimension spec files do not have, in one of the figure's own two units."""
    match = NUMBER.fullmatch(text)
    number, symbol = (match[1], match[2].strip()) if match else (text, "")
    quantity = parse(number, "ratio", _example(kind))
    symbol = symbol.replace("s2", "s²").replace("s3", "s³").replace("^", "")
    for scale in (kind.unit.metric, kind.unit.us):
        if symbol == scale.unit:
            return _made(relation, quantity, quantity.value / scale.factor, symbol, kind)
    both = dict.fromkeys((kind.unit.metric.unit, kind.unit.us.unit))
    right = " or ".join(f"'{_number(quantity)} {unit}'" for unit in both)
    what = f"{shown(text)} has no unit" if not symbol else f"{shown(symbol)} is no unit of this"
    raise WrongError(f"{what}: {kind.title.lower()}", f"Write {right}")


def _made(
    relation: Relation, read: Quantity, value: float, symbol: str, kind: Kind, currency: str = ""
) -> Bound:
    number = _number(read)
    if abs(read.number) > FURTHEST:
        raise WrongError("the bound is far beyond anything a bike has", "Write a likely number")
    us = symbol == kind.unit.us.unit != kind.unit.metric.unit
    text = show.join(number, symbol)
    return Bound(relation, rounded(value), text, currency, system="us" if us else "metric")


def _other(relation: Relation, id: str, kind: Kind, kinds: Mapping[str, Kind]) -> Bound:
    other = kinds.get(id)
    if other is None:
        raise WrongError(f"there is no figure {shown(id)}", nearest(id, kinds))
    if other.unit.si != kind.unit.si:
        what = (
            f"{other.title.lower()} cannot be held against {kind.title.lower()}: their units differ"
        )
        raise WrongError(what, f"Name a figure in {kind.unit.metric.unit or 'bare numbers'}")
    if other.id == kind.id:
        raise WrongError("a figure cannot be its own bound", "Name another figure, or a number")
    return Bound(relation, 0.0, other.short.lower(), other=id)


def _no_relation(text: str, kind: Kind) -> WrongError:
    for sign, relation in SIGNS.items():
        if text.startswith(sign):
            plain = text[len(sign) :].strip()
            return WrongError(
                f"{shown(text)} begins with a sign", f"Write '{relation} {plain[:40]}'"
            )
    example = _example(kind)
    if NUMBER.fullmatch(text):
        what = f"{shown(text)} does not say on which side"
        return WrongError(what, f"Write 'at most {text[:40]}' or 'at least {text[:40]}'")
    words = "under, at most, over, at least, between … and …"
    what = f"{shown(text)} is no bound"
    return WrongError(what, f"Begin with one of: {words}; such as 'at most {example}'")


def nearest(name: str, known: Collection[str]) -> str:
    close = get_close_matches(name, list(known), 1, 0.5)
    if close:
        return f"Did you mean {shown(close[0])}?"
    return "The page 'How each figure is worked out' lists every figure"


def typed(text: str) -> str:
    """A bound as one types it."""
    return text.replace("\N{NO-BREAK SPACE}", " ").replace(show.NARROW_SPACE, "")


def _example(kind: Kind) -> str:
    unit = kind.unit.metric.unit
    return f"2000 {unit}" if _MONEY.fullmatch(unit) else f"20 {unit}".strip()


def _number(quantity: Quantity) -> str:
    """The number as written, with a plain minus and at most four decimals."""
    text = quantity.text.strip().split(" ")[0]
    places = min(4, len(re.sub(r"[^0-9].*", "", text.partition(".")[2])))
    if abs(quantity.number) > FURTHEST:
        return text[:20]
    return show.digits(quantity.number, places)
