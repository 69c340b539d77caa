"""What a condition in live text claims about bikes: whether it holds, what holds now, and whether it is a close call.

* ConditionResult     the result of one condition
* BikeCount     how many bikes meet criteria
* ConditionTester    the words of conditions: least, most, only, meets, number_of, and their joints
"""

import operator
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from generator.figures import show
from generator.figures.criteria.criteria import Criteria, Judgement, read_criteria
from generator.figures.model import Figure, FigureKind
from generator.pages.prose.pieces import WordUseError, suggest_name
from generator.specs.bike import Bike
from generator.specs.english import listed
from generator.specs.yaml.located import quote_value

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

COMPARATIVES = {
    "spec.mass": ("lighter", "heavier"),
    "spec.price": ("cheaper", "dearer"),
    "spec.assisted_speed": ("slower", "faster"),
}
"""Adjectives for a bike with less or more of a figure; other figures are "lower" or "higher"."""
MOST_NAMED = 3
"""Most bikes named in one message."""
OPERATORS: dict[str, tuple[Callable[[int, int], bool], str]] = {
    "eq": (operator.eq, ""),
    "ne": (operator.ne, "other than "),
    "gt": (operator.gt, "more than "),
    "gteq": (operator.ge, "at least "),
    "lt": (operator.lt, "fewer than "),
    "lteq": (operator.le, "at most "),
}

ReadKeys = tuple[tuple[str, str], ...]
"""Pairs of a bike's slug and the id of the figure or field that was read."""


@dataclass(frozen=True)
class ConditionResult:
    """A condition tested against the figures."""

    holds: bool | None
    """None if a deciding figure or field is not known."""
    now: str
    """The present state in figures, without a full stop."""
    reads: ReadKeys
    """The figures and fields that decided, the most relevant bikes first."""
    close: tuple[str, ...] = ()
    """Why it is a close call, if it holds by the values but not by their intervals."""


@dataclass(frozen=True)
class BikeCount:
    """How many bikes meet criteria."""

    number: int
    names: tuple[str, ...]
    words: str
    reads: ReadKeys
    close: tuple[str, ...]


class ConditionTester:
    """Tests the conditions of one text and caches the results."""

    def __init__(self, table: "FiguresTable", system: show.UnitSystem) -> None:
        self._table = table
        self._system = system
        self._judged: dict[str, tuple[Criteria, dict[str, Judgement]]] = {}
        self._results: dict[str, ConditionResult] = {}

    @cached_property
    def _bikes(self) -> dict[str, Bike]:
        return {bike.slug: bike for bike in self._table.bikes}

    def least(
        self, bike: str, figure: str, where: Any = None, among: Any = None
    ) -> ConditionResult:
        """The bike has the lowest known figure of the bikes that meet `where`."""
        return self._test_extreme(bike, figure, where, among, sign=1)

    def most(self, bike: str, figure: str, where: Any = None, among: Any = None) -> ConditionResult:
        """The bike has the highest known figure of the bikes that meet `where`."""
        return self._test_extreme(bike, figure, where, among, sign=-1)

    def only(self, bike: str, criteria: Any) -> ConditionResult:
        """The bike alone meets the criteria."""
        own = self._find_bike(bike)
        rule, judged = self._judge_bikes(criteria)
        others = [self._bikes[slug] for slug in judged if slug != bike and judged[slug].holds]
        verdict = judged[bike]
        if not verdict.holds:
            return self._test_criteria(own, rule, verdict)
        reads = _list_read_keys([own, *others], rule)
        if others:
            names = _list_some_names([other.full_name for other in others])
            reason = judged[others[0].slug].reasons
            now = f"{names} {'fits' if len(others) == 1 else 'fit'} too: {'; '.join(reason)}"
            return ConditionResult(False, now, reads)
        now = f"only {own.full_name} fits: {'; '.join(verdict.reasons)}"
        close = [slug for slug, each in judged.items() if _is_close(each)]
        causes = tuple(
            f"{self._bikes[slug].full_name} is a close call: {_find_edge_reason(judged[slug])}"
            for slug in close[:1]
        )
        return ConditionResult(
            True, now, (*reads, *_list_read_keys(self._list_other_bikes([own]), rule)), causes
        )

    def meets(self, bike: str, criteria: Any) -> ConditionResult:
        """The bike meets the criteria."""
        own = self._find_bike(bike)
        rule, judged = self._judge_bikes(criteria)
        return self._test_criteria(own, rule, judged[bike])

    def number_of(self, criteria: Any) -> BikeCount:
        """The number of bikes that meet the criteria, for a comparison."""
        rule, judged = self._judge_bikes(criteria)
        found = [self._bikes[slug] for slug, each in judged.items() if each.holds]
        near = [slug for slug, each in judged.items() if _is_close(each)]
        close = [
            f"{self._bikes[slug].full_name} is a close call: {_find_edge_reason(judged[slug])}"
            for slug in near[:1]
        ]
        reads = _list_read_keys([*found, *self._list_other_bikes(found)], rule)
        return BikeCount(
            len(found), tuple(bike.full_name for bike in found), rule.words, reads, tuple(close)
        )

    def compare_count(self, count: BikeCount, *sides: Any) -> ConditionResult:
        """A count compared with whole numbers; `sides` alternates operators and numbers, such as `"gteq", 3`."""
        pairs = list(zip(sides[::2], sides[1::2], strict=True))
        numbers = [count.number, *(number for _, number in pairs)]
        holds = all(
            OPERATORS[sign][0](left, right)
            for (sign, right), left in zip(pairs, numbers, strict=False)
        )
        wanted = " and ".join(f"{OPERATORS[sign][1]}{number}" for sign, number in pairs)
        fit = (
            f"{'fits' if count.number == 1 else 'fit'} {quote_value(count.words)}"
            if count.words
            else "in all"
        )
        sentence = f"{count.number} {'bike' if count.number == 1 else 'bikes'} {fit}"
        named = f" ({_list_some_names(list(count.names))})" if count.names else ""
        now = f"{sentence}{named}" + ("" if holds else f", not {wanted}")
        return ConditionResult(holds, now, count.reads, count.close if holds else ())

    def all_(self, one: ConditionResult, other: ConditionResult) -> ConditionResult:
        """Both claims hold; otherwise `now` states what fails."""
        if one.holds and other.holds:
            now = f"{one.now}; {other.now}"
            return ConditionResult(
                True, now, (*one.reads, *other.reads), (*one.close, *other.close)
            )
        failed = [each for each in (one, other) if each.holds is False]
        causes = failed or [each for each in (one, other) if each.holds is None]
        return ConditionResult(
            False if failed else None,
            "; ".join(each.now for each in causes),
            tuple(read for each in causes for read in each.reads),
        )

    def any_(self, one: ConditionResult, other: ConditionResult) -> ConditionResult:
        """At least one of two claims holds."""
        true = [each for each in (one, other) if each.holds]
        if true:
            clear = [each for each in true if not each.close]
            return (clear or true)[0]
        known = one.holds is False and other.holds is False
        now = f"{one.now}; {other.now}"
        return ConditionResult(False if known else None, now, (*one.reads, *other.reads))

    def not_(self, one: ConditionResult) -> ConditionResult:
        """The claim does not hold; unknown stays unknown."""
        holds = None if one.holds is None else not one.holds
        return replace(one, holds=holds, close=())

    def _test_criteria(self, own: Bike, rule: Criteria, verdict: Judgement) -> ConditionResult:
        sentence = "; ".join(verdict.reasons)
        if verdict.holds is None:
            sentence = f"not known of {own.full_name}: {', '.join(verdict.lacking)}"
        else:
            sentence = f"{own.full_name}: {sentence}"
        close = (
            (f"{own.full_name} is a close call: {_find_edge_reason(verdict)}",)
            if verdict.edge
            else ()
        )
        return ConditionResult(
            verdict.holds, sentence, _list_read_keys([own], rule), close if verdict.holds else ()
        )

    def _test_extreme(
        self, slug: str, figure: str, where: Any, among: Any, *, sign: int
    ) -> ConditionResult:
        key = repr((slug, figure, where, among, sign))
        if key not in self._results:
            self._results[key] = self._compute_extreme(slug, figure, where, among, sign)
        return self._results[key]

    def _compute_extreme(
        self, slug: str, figure: str, where: Any, among: Any, sign: int
    ) -> ConditionResult:
        own = self._find_bike(slug)
        kind = self._find_kind(figure)
        rule, judged = self._judge_bikes({} if where is None else where)
        inside = self._find_among(among)
        if slug not in inside:
            raise WordUseError(f"{slug!r} is not in the list `among`", "Add it to the list", slug)
        verdict = judged[slug]
        if not verdict.holds:
            failed = self._test_criteria(own, rule, verdict)
            outside = "is not among the bikes compared" if verdict.holds is False else "may not be"
            now = f"{own.full_name} {outside}: {'; '.join(verdict.reasons)}"
            return ConditionResult(verdict.holds, now, failed.reads)
        found = self._table.get(slug, kind.id)
        if found is None:
            now = f"{kind.title} of {own.full_name} is not known"
            return ConditionResult(None, now, ((slug, kind.id),))
        others = [
            each
            for other in judged
            if other != slug and other in inside and judged[other].holds
            for each in (self._table.get(other, kind.id),)
            if each is not None and each.kind.unit == found.kind.unit
        ]
        others.sort(key=lambda each: (sign * each.value, each.bike))
        beyond = [each for each in others if sign * each.value < sign * found.value]
        first = [slug, *(each.bike for each in beyond)]
        bikes = [self._bikes[each] for each in dict.fromkeys([*first, *(o.bike for o in others)])]
        reads = _list_read_keys(bikes, rule, kind.id)
        if beyond:
            return ConditionResult(False, self._describe_beaten(found, beyond, sign), reads)
        lead = f"{own.full_name} has the {'least' if sign > 0 else 'most'}: {kind.short}"
        if not others:
            return ConditionResult(
                True,
                f"{lead} {show.format_figure(found, self._system)}, and no other is known",
                reads,
            )
        mine, second = format_apart(found, others[0], self._system)
        now = f"{lead} {mine}, then {self._name_bike(others[0])} with {second}"
        return ConditionResult(True, now, reads, self._describe_close_call(found, others))

    def _describe_beaten(self, found: Figure, beyond: Sequence[Figure], sign: int) -> str:
        """Which bike beats it, such as `Zandreth Kirru is lighter: 14.2 kg against 15.1 kg`."""
        words = COMPARATIVES.get(found.id)
        how = words[0 if sign > 0 else 1] if words else ""
        first, own = format_apart(beyond[0], found, self._system)
        if how:
            sentence = f"{self._name_bike(beyond[0])} is {how}: {first} against {own}"
        else:
            side = "lower" if sign > 0 else "higher"
            sentence = f"{self._name_bike(beyond[0])} lies {side}: {found.kind.short} {first} against {own}"
        more = len(beyond) - 1
        return sentence + (
            f", and {more} more {'bike' if more == 1 else 'bikes'} besides" if more else ""
        )

    def _describe_close_call(self, found: Figure, others: Sequence[Figure]) -> tuple[str, ...]:
        """Why the extreme is a close call. Figures differ clearly when their intervals do not overlap."""
        level = [each for each in others if each.low <= found.high and found.low <= each.high]
        if not level:
            return ()
        names = _list_some_names([self._name_bike(each) for each in level])
        certain = all(each.low == each.high for each in (found, *level))
        beside = "the same as" if certain else "no clear difference to"
        mine, other = (show.format_figure(each, self._system) for each in (found, level[0]))
        return (f"{beside} {names}: {found.kind.short} {mine} and {other}",)

    def _find_among(self, among: Any) -> dict[str, Bike]:
        if among is None:
            return self._bikes
        if not isinstance(among, (list, tuple)):
            raise WordUseError("`among` is not a list of bikes", 'Write among=["bike", "bike"]')
        return {slug: self._find_bike(slug) for slug in among}

    def _judge_bikes(self, criteria: Any) -> tuple[Criteria, dict[str, Judgement]]:
        """The criteria as read, and the judgement of each bike by slug."""
        if not isinstance(criteria, Mapping):
            what = "the criteria are not a group in braces"
            raise WordUseError(what, 'Write such as {"use": "cargo", "mass": "at most 25 kg"}')
        key = repr(list(criteria.items()))
        if key not in self._judged:
            rule, wrong = read_criteria(criteria, self._table.kinds)
            if rule is not None:
                wrong = rule.find_unknown_makers(self._table.bikes)
            if rule is None or wrong:
                first = wrong[0]
                raise WordUseError(
                    f"{first.key}: {first.what}".removeprefix(": "), first.mend, first.key
                )
            self._judged[key] = (
                rule,
                {slug: rule.judge_bike(self._table, bike) for slug, bike in self._bikes.items()},
            )
        return self._judged[key]

    def _find_bike(self, slug: Any) -> Bike:
        if not isinstance(slug, str):
            raise WordUseError("a bike's name is not a text", "Put it between quotation marks")
        if slug not in self._bikes:
            mend = suggest_name(slug, self._bikes, "bikes/")
            raise WordUseError(f"there is no bike {slug!r:.80}", mend, slug[:80])
        return self._bikes[slug]

    def _find_kind(self, figure: Any) -> FigureKind:
        if not isinstance(figure, str):
            raise WordUseError("a figure's name is not a text", "Put it between quotation marks")
        kinds = self._table.kinds
        found = kinds.get(figure) or kinds.get(f"spec.{figure}")
        if found is None:
            mend = suggest_name(figure, kinds, "the methods page")
            raise WordUseError(f"there is no figure {figure!r:.80}", mend, figure[:80])
        return found

    def _name_bike(self, figure: Figure) -> str:
        return self._bikes[figure.bike].full_name

    def _list_other_bikes(self, bikes: Sequence[Bike]) -> list[Bike]:
        own = {bike.slug for bike in bikes}
        return [bike for slug, bike in self._bikes.items() if slug not in own]


def format_apart(one: Figure, other: Figure, system: show.UnitSystem) -> tuple[str, str]:
    """Both figures as shown, with more decimals where they would read the same and are not."""
    texts = [show.format_figure(each, system) for each in (one, other)]
    scale = show.get_scale(one.kind, system)
    places = 0
    while texts[0] == texts[1] and one.value != other.value and places < 6:
        places += 1
        texts = [
            show.join_unit(show.format_digits(each.value * scale.factor, places), scale.unit)
            for each in (one, other)
        ]
    return texts[0], texts[1]


def _list_read_keys(bikes: Iterable[Bike], rule: Criteria, *figures: str) -> ReadKeys:
    keys = (*figures, *rule.reads)
    return tuple((bike.slug, key) for bike in bikes for key in keys)


def _is_close(judgement: Judgement) -> bool:
    """Whether the other end of an interval would change the answer."""
    return judgement.edge and all(check.holds or check.edge for check in judgement.checks)


def _find_edge_reason(judgement: Judgement) -> str:
    return next(check.reason for check in judgement.checks if check.edge)


def _list_some_names(names: Sequence[str]) -> str:
    """Names joined: `A`, `A and B`, `A, B, C and 4 more`."""
    more = len(names) - MOST_NAMED
    return listed([*names[:MOST_NAMED], f"{more} more"] if more > 0 else names)
