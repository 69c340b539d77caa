"""Criteria that select bikes, written such as `sensor: torque` and `mass: at most 25 kg`.

* read_criteria    from a mapping of keys and conditions to Criteria, and everything wrong with it
* Criteria         judges a bike, and describes itself in plain words
* find_members     the bikes of a table that fit, in the order of every list
* sort_by_figure   bikes sorted by one figure
* sort_by_price    bikes sorted by price

A key is a figure's id, its short name (`price` for `spec.price`), or a field of `fields.py`. A figure is
judged by its value; the reason adds when its interval crosses a bound. A value that a bike does not
state makes the answer *not known*, never yes or no.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from generator.figures import units
from generator.figures.criteria.checks import Criterion, CriterionResult, lower_first_letter
from generator.figures.criteria.fields import FIELDS, SPEC_KEY_FIELDS, field_texts, list_choices
from generator.figures.criteria.parser import (
    LONGEST,
    Bound,
    CriterionError,
    CriterionProblem,
    plain_spaces,
    read_bounds,
    read_choice,
    suggest_name,
)
from generator.figures.model import FigureKind
from generator.specs.bike import Bike
from generator.specs.yaml.located import quote_value

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

__all__ = [
    "Criteria",
    "CriterionProblem",
    "CriterionResult",
    "Judgement",
    "field_texts",
    "find_members",
    "read_criteria",
    "sort_by_figure",
    "sort_by_price",
]

MOST = 20
"""Most criteria in one mapping."""
KNOWN = {"known": True, "not known": False}


@dataclass(frozen=True)
class Judgement:
    """Result of all criteria for one bike."""

    holds: bool | None
    """None if a criterion cannot be decided and no other fails."""
    reasons: tuple[str, ...]
    """Reasons of all criteria if all hold; else of those that fail, or that are not known."""
    edge: bool
    """Whether an interval crosses a bound."""
    lacking: tuple[str, ...]
    """Titles of the values that are not known."""
    checks: tuple[CriterionResult, ...]


@dataclass(frozen=True)
class Criteria:
    """Criteria that a bike must meet, all of them."""

    tests: tuple[Criterion, ...]

    def judge_bike(self, table: "FiguresTable", bike: Bike) -> Judgement:
        """Result of the criteria for one bike of the table."""
        checks = tuple(test.check_bike(table, bike) for test in self.tests)
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
        """The criteria in plain words, such as `sensor: torque; mass at most 25 kg`; empty if every bike fits."""
        return "; ".join(test.words for test in self.tests)

    @property
    def reads(self) -> tuple[str, ...]:
        """Ids of figures and names of fields that the criteria read, each once."""
        named = [(test.key, *(bound.other for bound in test.bounds)) for test in self.tests]
        return tuple(dict.fromkeys(name for names in named for name in names if name))

    def find_unknown_makers(self, bikes: Sequence[Bike]) -> list[CriterionProblem]:
        """A problem for each maker named that has no bike here."""
        makers = sorted({bike.maker for bike in bikes})
        folded = {maker.casefold() for maker in makers}
        return [
            CriterionProblem(
                "maker", f"no bike here is by {quote_value(word)}", _suggest_maker(word, makers)
            )
            for test in self.tests
            if test.key == "maker" and test.choice is not None
            for word in test.choice.words
            if word.casefold() not in folded
        ]


def read_criteria(
    mapping: Mapping[str, Any], kinds: Mapping[str, FigureKind]
) -> tuple[Criteria | None, list[CriterionProblem]]:
    """The criteria of a mapping, and everything wrong with it; None with any problem.

    Conditions are texts; a number, true or false that YAML reads instead is turned back into text.
    """
    if len(mapping) > MOST:
        what = f"{len(mapping)} criteria are more than anybody reads"
        return None, [CriterionProblem("", what, f"Keep to {MOST}")]
    tests: list[Criterion] = []
    wrong: list[CriterionProblem] = []
    for key, given in mapping.items():
        try:
            tests.append(_read_criterion(key, given, kinds))
        except CriterionError as error:
            name = key[:60] if isinstance(key, str) else ""
            wrong.append(CriterionProblem(name, error.what, error.mend))
    wrong += _find_contradictions(tests)
    return (None, wrong) if wrong else (Criteria(tuple(tests)), [])


def find_members(table: "FiguresTable", criteria: Criteria) -> list[tuple[Bike, Judgement]]:
    """The bikes that fit, each with its judgement, by price as on every list."""
    price = table.kinds.get("spec.price")
    judged = (
        (bike, criteria.judge_bike(table, bike))
        for bike in sort_by_price(table.bikes, price.unit.si if price else "")
    )
    return [(bike, judgement) for bike, judgement in judged if judgement.holds]


def sort_by_figure(
    table: "FiguresTable", bikes: Sequence[Bike], figure_id: str, descending: bool = False
) -> list[Bike]:
    """Bikes sorted by one figure within each unit (currency), the publication's own first; bikes without it last."""
    kind = table.kinds[figure_id]

    def sort_key(bike: Bike) -> tuple[bool, bool, str, float, str]:
        figure = table.get(bike.slug, figure_id)
        if figure is None:
            return True, True, "", 0.0, bike.slug
        unit = figure.kind.unit.si
        value = -figure.value if descending else figure.value
        return False, unit != kind.unit.si, unit, value, bike.slug

    return sorted(bikes, key=sort_key)


def sort_by_price(bikes: Sequence[Bike], currency: str) -> list[Bike]:
    """Bikes sorted by price within each currency, the publication's own (`currency`) first; those without a price last."""
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


def _read_criterion(key: object, given: object, kinds: Mapping[str, FigureKind]) -> Criterion:
    if not isinstance(key, str):
        raise CriterionError("a key is not a text", "Name a figure or a field")
    name = _resolve_key(key, kinds)
    if isinstance(given, bool):
        given = "yes" if given else "no"
    if isinstance(given, int):
        given = str(given) if abs(given) < 10**9 else "a number far too large"
    if isinstance(given, float):
        given = f"{given:g}"
    if not isinstance(given, str):
        example = f"{key}: at most 25 kg" if name == "spec.mass" else f"{key}: …"
        what = "the condition is not a text"
        raise CriterionError(what, f"Write one condition in words, such as '{example}'")
    text = " ".join(given.split())
    if not text:
        raise CriterionError("the condition is empty", "Write it, or take the criterion out")
    if len(text) > LONGEST:
        raise CriterionError(
            f"the condition has {len(text)} characters", f"Write it in {LONGEST} at most"
        )
    title = FIELDS[name].title if name in FIELDS else kinds[name].short
    if text.lower() in KNOWN:
        return Criterion(name, title, known=KNOWN[text.lower()])
    if name == "year":
        return _read_year(text, title)
    if name in FIELDS:
        field = FIELDS[name]
        return Criterion(
            name, title, choice=read_choice(text, list_choices(name), field.several, field.free)
        )
    return Criterion(name, title, bounds=read_bounds(text, kinds[name], kinds))


def _read_year(text: str, title: str) -> Criterion:
    """The criterion of a model year: `2026`, `2025 or 2026`, or bounds. Raises `CriterionError`."""
    if re.fullmatch(r"(not )?[0-9]{4}( or [0-9]{4}){0,10}", text):
        return Criterion("year", title, choice=read_choice(text, (), False, free=True))
    year = FigureKind("year", "year", title, title, units.COUNT, "", "", "", "")
    try:
        return Criterion("year", title, bounds=read_bounds(text, year, {}))
    except CriterionError:
        mend = "Write such as '2026' or 'at least 2025'"
        raise CriterionError(f"{quote_value(text)} is no year", mend) from None


def _suggest_maker(word: str, makers: Sequence[str]) -> str:
    close = get_close_matches(word[:80], makers, 1, 0.5)
    return (
        f"Did you mean {quote_value(close[0])}?"
        if close
        else "Name a maker of a bike of this guide"
    )


def _resolve_key(key: str, kinds: Mapping[str, FigureKind]) -> str:
    if key in FIELDS or key in kinds:
        return key
    if key in SPEC_KEY_FIELDS:
        return SPEC_KEY_FIELDS[key]
    if f"spec.{key}" in kinds:
        return f"spec.{key}"
    short = [id.removeprefix("spec.") for id in kinds if id.startswith("spec.")]
    known = [*FIELDS, *short, *kinds]
    last = {id.rpartition(".")[2]: id for id in reversed(list(kinds))}
    close = get_close_matches(key.casefold(), known, 1, 0.6) or (
        [last[key]] if key in last else get_close_matches(key.casefold(), known, 1, 0.5)
    )
    mend = f"Did you mean {quote_value(close[0])}?" if close else suggest_name(key, known)
    if not close:
        mend = f"Fields are {', '.join(FIELDS)}; every other key is the id of a figure"
    raise CriterionError(f"there is no figure or field {quote_value(key, 60)}", mend)


def _find_contradictions(tests: Sequence[Criterion]) -> list[CriterionProblem]:
    """Problems of criteria that no bike can meet, and of a key given twice under two names."""
    wrong = []
    for key in dict.fromkeys(test.key for test in tests):
        own = [test for test in tests if test.key == key]
        if len(own) > 1:
            what = f"{lower_first_letter(own[0].title)} is asked for twice"
            wrong.append(
                CriterionProblem(key, what, "Put both conditions into one, joined by 'and'")
            )
            continue
        bounds = [bound for bound in own[0].bounds if not bound.other]
        for currency in {bound.currency for bound in bounds}:
            same = [bound for bound in bounds if bound.currency == currency]
            lows = [each for each in same if each.relation in ("over", "at least")]
            highs = [each for each in same if each.relation in ("under", "at most")]
            for low in lows:
                wrong += [
                    _report_contradiction(key, low, high)
                    for high in highs
                    if _exclude_each_other(low, high)
                ]
        if len({bound.currency for bound in bounds}) > 1:
            what = "the bounds are in two currencies, and nothing is converted"
            wrong.append(CriterionProblem(key, what, "Write both in one currency"))
    return wrong


def _exclude_each_other(low: Bound, high: Bound) -> bool:
    if low.value == high.value:
        return (low.relation, high.relation) != ("at least", "at most")
    return low.value > high.value


def _report_contradiction(key: str, low: Bound, high: Bound) -> CriterionProblem:
    what = f"no bike can be {low.words} and {high.words}"
    between = f"Write 'between {plain_spaces(high.text)} and {plain_spaces(low.text)}', or leave one bound out"
    return CriterionProblem(
        key, what, between if low.value > high.value else "Leave one of the two out"
    )
