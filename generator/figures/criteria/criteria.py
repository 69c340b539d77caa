"""Criteria: which bikes are meant, in words such as `sensor: torque` and `mass: at most 25 kg`.

* read_criteria    a mapping of keys and conditions → Criteria, and all that is wrong with it
* Criteria         judges a bike, and says itself in plain words
* members          the bikes of a table that fit, in the order of every list

A key is a figure's id, its short name (`price` for `spec.price`), or a field of `criteria_fields`. A
figure is judged by its value; that its interval reaches across a bound is said beside it. What a bike
does not state makes the answer *not known*, never yes or no.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from generator.figures import units
from generator.figures.criteria.checks import Check, Test, running
from generator.figures.criteria.fields import ALSO, FIELDS, choices, field_texts
from generator.figures.criteria.parser import (
    LONGEST,
    Bound,
    Wrong,
    WrongError,
    bounds_of,
    choice_of,
    nearest,
    typed,
)
from generator.figures.model import Kind
from generator.specs.bike import Bike
from generator.specs.yaml.located import shown

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

__all__ = [
    "Check",
    "Criteria",
    "Judgement",
    "Wrong",
    "by_figure",
    "by_price",
    "field_texts",
    "members",
    "read_criteria",
]

MOST = 20
"""Criteria together."""
KNOWN = {"known": True, "not known": False}


@dataclass(frozen=True)
class Judgement:
    """All criteria held against one bike."""

    holds: bool | None
    """None: a criterion cannot be decided, and no other says no."""
    reasons: tuple[str, ...]
    """Of every criterion when all hold; else of those that do not, or that are not known."""
    edge: bool
    """Does an interval reach across a bound?"""
    lacking: tuple[str, ...]
    """Titles of what is not known."""
    checks: tuple[Check, ...]


@dataclass(frozen=True)
class Criteria:
    """Which bikes are meant; all criteria must hold."""

    tests: tuple[Test, ...]

    def of(self, table: "FiguresTable", bike: Bike) -> Judgement:
        """How a bike stands to the criteria."""
        checks = tuple(test.check(table, bike) for test in self.tests)
        holds: bool | None = True
        if any(check.holds is False for check in checks):
            holds = False
        elif any(check.holds is None for check in checks):
            holds = None
        return Judgement(
            holds,
            tuple(check.reason for check in checks if check.holds is holds),
            any(check.edge for check in checks),
            tuple(dict.fromkeys(check.lacking for check in checks if check.lacking)),
            checks,
        )

    @property
    def words(self) -> str:
        """In plain words for readers, such as `sensor: torque; mass at most 25 kg`; empty: all bikes."""
        return "; ".join(test.words for test in self.tests)

    @property
    def reads(self) -> tuple[str, ...]:
        """Figure ids and names of fields that decide, each once."""
        named = [(test.key, *(bound.other for bound in test.bounds)) for test in self.tests]
        return tuple(dict.fromkeys(name for names in named for name in names if name))

    def unheard(self, bikes: Sequence[Bike]) -> list[Wrong]:
        """What no bike answers to at all: a maker that is not there."""
        makers = sorted({bike.maker for bike in bikes})
        folded = {maker.casefold() for maker in makers}
        return [
            Wrong("maker", f"no bike here is by {shown(word)}", _maker(word, makers))
            for test in self.tests
            if test.key == "maker" and test.choice is not None
            for word in test.choice.words
            if word.casefold() not in folded
        ]


def read_criteria(
    mapping: Mapping[str, Any], kinds: Mapping[str, Kind]
) -> tuple[Criteria | None, list[Wrong]]:
    """The criteria of a mapping, and all that is wrong with them; no criteria when anything is.

    Conditions are texts; a number or a true or false that YAML has made of one is taken as it reads.
    """
    if len(mapping) > MOST:
        what = f"{len(mapping)} criteria are more than anybody reads"
        return None, [Wrong("", what, f"Keep to {MOST}")]
    tests: list[Test] = []
    wrong: list[Wrong] = []
    for key, given in mapping.items():
        try:
            tests.append(_read(key, given, kinds))
        except WrongError as error:
            name = key[:60] if isinstance(key, str) else ""
            wrong.append(Wrong(name, error.what, error.mend))
    wrong += _contradictions(tests)
    return (None, wrong) if wrong else (Criteria(tuple(tests)), [])


def members(table: "FiguresTable", criteria: Criteria) -> list[tuple[Bike, Judgement]]:
    """The bikes that fit, by price as on every list, each with its judgement."""
    price = table.kinds.get("spec.price")
    judged = (
        (bike, criteria.of(table, bike))
        for bike in by_price(table.bikes, price.unit.si if price else "")
    )
    return [(bike, judgement) for bike, judgement in judged if judgement.holds]


def by_figure(
    table: "FiguresTable", bikes: Sequence[Bike], figure_id: str, descending: bool = False
) -> list[Bike]:
    """By one figure, one unit (currency) after the other, the publication's own first; without it last."""
    kind = table.kinds[figure_id]

    def place(bike: Bike) -> tuple[bool, bool, str, float, str]:
        figure = table.get(bike.slug, figure_id)
        if figure is None:
            return True, True, "", 0.0, bike.slug
        unit = figure.kind.unit.si
        value = -figure.value if descending else figure.value
        return False, unit != kind.unit.si, unit, value, bike.slug

    return sorted(bikes, key=place)


def by_price(bikes: Sequence[Bike], currency: str) -> list[Bike]:
    """By price within each currency, the publication's own (`currency`) first; without a price last."""
    return sorted(
        bikes,
        key=lambda bike: (
            bike.price is None,
            bike.price is not None and bike.price.currency != currency,
            bike.price.currency if bike.price else "",
            bike.price.amount if bike.price else 0.0,
            bike.slug,
        ),
    )


def _read(key: object, given: object, kinds: Mapping[str, Kind]) -> Test:
    if not isinstance(key, str):
        raise WrongError("a key is not a text", "Name a figure or a field")
    name = _name(key, kinds)
    if isinstance(given, bool):
        given = "yes" if given else "no"
    if isinstance(given, int):
        given = str(given) if abs(given) < 10**9 else "a number far too large"
    if isinstance(given, float):
        given = f"{given:g}"
    if not isinstance(given, str):
        example = f"{key}: at most 25 kg" if name == "spec.mass" else f"{key}: …"
        what = "the condition is not a text"
        raise WrongError(what, f"Write one condition in words, such as '{example}'")
    text = " ".join(given.split())
    if not text:
        raise WrongError("the condition is empty", "Write it, or take the criterion out")
    if len(text) > LONGEST:
        raise WrongError(
            f"the condition has {len(text)} characters", f"Write it in {LONGEST} at most"
        )
    title = FIELDS[name].title if name in FIELDS else kinds[name].short
    if text.lower() in KNOWN:
        return Test(name, title, known=KNOWN[text.lower()])
    if name == "year":
        return _year(text, title)
    if name in FIELDS:
        field = FIELDS[name]
        return Test(name, title, choice=choice_of(text, choices(name), field.several, field.free))
    return Test(name, title, bounds=bounds_of(text, kinds[name], kinds))


def _year(text: str, title: str) -> Test:
    """`2026`, `2025 or 2026`, or bounds."""
    if re.fullmatch(r"(not )?[0-9]{4}( or [0-9]{4}){0,10}", text):
        return Test("year", title, choice=choice_of(text, (), False, free=True))
    year = Kind("year", "year", title, title, units.COUNT, "", "", "", "")
    try:
        return Test("year", title, bounds=bounds_of(text, year, {}))
    except WrongError:
        mend = "Write such as '2026' or 'at least 2025'"
        raise WrongError(f"{shown(text)} is no year", mend) from None


def _maker(word: str, makers: Sequence[str]) -> str:
    close = get_close_matches(word[:80], makers, 1, 0.5)
    return f"Did you mean {shown(close[0])}?" if close else "Name a maker of a bike of this guide"


def _name(key: str, kinds: Mapping[str, Kind]) -> str:
    if key in FIELDS or key in kinds:
        return key
    if key in ALSO:
        return ALSO[key]
    if f"spec.{key}" in kinds:
        return f"spec.{key}"
    short = [id.removeprefix("spec.") for id in kinds if id.startswith("spec.")]
    known = [*FIELDS, *short, *kinds]
    last = {id.rpartition(".")[2]: id for id in reversed(list(kinds))}
    close = get_close_matches(key.casefold(), known, 1, 0.6) or (
        [last[key]] if key in last else get_close_matches(key.casefold(), known, 1, 0.5)
    )
    mend = f"Did you mean {shown(close[0])}?" if close else nearest(key, known)
    if not close:
        mend = f"Fields are {', '.join(FIELDS)}; every other key is the id of a figure"
    raise WrongError(f"there is no figure or field {shown(key, 60)}", mend)


def _contradictions(tests: Sequence[Test]) -> list[Wrong]:
    """Criteria that no bike can meet, and the same key twice under two names."""
    wrong = []
    for key in dict.fromkeys(test.key for test in tests):
        own = [test for test in tests if test.key == key]
        if len(own) > 1:
            what = f"{running(own[0].title)} is asked for twice"
            wrong.append(Wrong(key, what, "Put both conditions into one, joined by 'and'"))
            continue
        bounds = [bound for bound in own[0].bounds if not bound.other]
        for currency in {bound.currency for bound in bounds}:
            same = [bound for bound in bounds if bound.currency == currency]
            lows = [each for each in same if each.relation in ("over", "at least")]
            highs = [each for each in same if each.relation in ("under", "at most")]
            for low in lows:
                wrong += [_never(key, low, high) for high in highs if _apart(low, high)]
        if len({bound.currency for bound in bounds}) > 1:
            what = "the bounds are in two currencies, and nothing is converted"
            wrong.append(Wrong(key, what, "Write both in one currency"))
    return wrong


def _apart(low: Bound, high: Bound) -> bool:
    if low.value == high.value:
        return (low.relation, high.relation) != ("at least", "at most")
    return low.value > high.value


def _never(key: str, low: Bound, high: Bound) -> Wrong:
    what = f"no bike can be {low.words} and {high.words}"
    between = f"Write 'between {typed(high.text)} and {typed(low.text)}', or leave one bound out"
    return Wrong(key, what, between if low.value > high.value else "Leave one of the two out")
