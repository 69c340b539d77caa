"""What a condition of running text claims about bikes: does it hold, what holds now, and is it a close call.

* Claim     the answer
* Claims    the words of conditions: least, most, only, meets, number_of, and their joints
"""

import operator
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from generator.figures import show
from generator.figures.criteria.criteria import Criteria, Judgement, read_criteria
from generator.figures.model import Figure, Kind
from generator.pages.prose.pieces import WrongError, nearest
from generator.specs.bike import Bike
from generator.specs.yaml.located import shown

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

WORDS = {
    "spec.mass": ("lighter", "heavier"),
    "spec.price": ("cheaper", "dearer"),
    "spec.assisted_speed": ("slower", "faster"),
}
"""What a bike is that has less or more of a figure; of others it lies lower or higher."""
NAMED = 3
"""Bikes named in one message at most."""
OPERATORS: dict[str, tuple[Callable[[int, int], bool], str]] = {
    "eq": (operator.eq, ""),
    "ne": (operator.ne, "other than "),
    "gt": (operator.gt, "more than "),
    "gteq": (operator.ge, "at least "),
    "lt": (operator.lt, "fewer than "),
    "lteq": (operator.le, "at most "),
}

Reads = tuple[tuple[str, str], ...]
"""Slug of a bike, and the figure or field of it that was looked at."""


@dataclass(frozen=True)
class Claim:
    """A condition held against the figures."""

    holds: bool | None
    """None: something that decides is not known."""
    now: str
    """What holds now, in figures, without a full stop."""
    reads: Reads
    """What decided, the bikes that matter most first."""
    close: tuple[str, ...] = ()
    """Why it is a close call, where it holds by the values alone."""


@dataclass(frozen=True)
class Count:
    """How many bikes meet criteria."""

    number: int
    names: tuple[str, ...]
    words: str
    reads: Reads
    close: tuple[str, ...]


class Claims:
    """Judges the conditions of one text; what it has worked out once it keeps."""

    def __init__(self, table: "FiguresTable", system: show.System) -> None:
        self._table = table
        self._system = system
        self._judged: dict[str, tuple[Criteria, dict[str, Judgement]]] = {}
        self._known: dict[str, Claim] = {}

    @cached_property
    def _bikes(self) -> dict[str, Bike]:
        return {bike.slug: bike for bike in self._table.bikes}

    def least(self, bike: str, figure: str, where: Any = None, among: Any = None) -> Claim:
        """The bike's figure is the lowest of all that are known, of bikes that meet `where`."""
        return self._extreme(bike, figure, where, among, sign=1)

    def most(self, bike: str, figure: str, where: Any = None, among: Any = None) -> Claim:
        """The same for the highest."""
        return self._extreme(bike, figure, where, among, sign=-1)

    def only(self, bike: str, criteria: Any) -> Claim:
        """The bike meets the criteria and no other does."""
        own = self._bike(bike)
        rule, judged = self._judge(criteria)
        others = [self._bikes[slug] for slug in judged if slug != bike and judged[slug].holds]
        verdict = judged[bike]
        if not verdict.holds:
            return self._meets(own, rule, verdict)
        reads = _read_by([own, *others], rule)
        if others:
            names = _some([other.full_name for other in others])
            reason = judged[others[0].slug].reasons
            now = f"{names} {'fits' if len(others) == 1 else 'fit'} too: {'; '.join(reason)}"
            return Claim(False, now, reads)
        now = f"only {own.full_name} fits: {'; '.join(verdict.reasons)}"
        close = [slug for slug, each in judged.items() if _near(each)]
        told = tuple(
            f"{self._bikes[slug].full_name} is a close call: {_edge(judged[slug])}"
            for slug in close[:1]
        )
        return Claim(True, now, (*reads, *_read_by(self._rest([own]), rule)), told)

    def meets(self, bike: str, criteria: Any) -> Claim:
        """The bike meets the criteria."""
        own = self._bike(bike)
        rule, judged = self._judge(criteria)
        return self._meets(own, rule, judged[bike])

    def number_of(self, criteria: Any) -> Count:
        """How many bikes meet the criteria; to be compared."""
        rule, judged = self._judge(criteria)
        found = [self._bikes[slug] for slug, each in judged.items() if each.holds]
        near = [slug for slug, each in judged.items() if _near(each)]
        close = [
            f"{self._bikes[slug].full_name} is a close call: {_edge(judged[slug])}"
            for slug in near[:1]
        ]
        reads = _read_by([*found, *self._rest(found)], rule)
        return Count(
            len(found), tuple(bike.full_name for bike in found), rule.words, reads, tuple(close)
        )

    def compared(self, count: Count, *sides: Any) -> Claim:
        """A count against whole numbers, such as `"gteq", 3`."""
        pairs = list(zip(sides[::2], sides[1::2], strict=True))
        numbers = [count.number, *(number for _, number in pairs)]
        holds = all(
            OPERATORS[sign][0](left, right)
            for (sign, right), left in zip(pairs, numbers, strict=False)
        )
        wanted = " and ".join(f"{OPERATORS[sign][1]}{number}" for sign, number in pairs)
        fit = (
            f"{'fits' if count.number == 1 else 'fit'} {shown(count.words)}"
            if count.words
            else "in all"
        )
        said = f"{count.number} {'bike' if count.number == 1 else 'bikes'} {fit}"
        named = f" ({_some(list(count.names))})" if count.names else ""
        now = f"{said}{named}" + ("" if holds else f", not {wanted}")
        return Claim(holds, now, count.reads, count.close if holds else ())

    def all_(self, one: Claim, other: Claim) -> Claim:
        """Both; what keeps it from holding is told."""
        if one.holds and other.holds:
            now = f"{one.now}; {other.now}"
            return Claim(True, now, (*one.reads, *other.reads), (*one.close, *other.close))
        failed = [each for each in (one, other) if each.holds is False]
        told = failed or [each for each in (one, other) if each.holds is None]
        return Claim(
            False if failed else None,
            "; ".join(each.now for each in told),
            tuple(read for each in told for read in each.reads),
        )

    def any_(self, one: Claim, other: Claim) -> Claim:
        """At least one of the two."""
        true = [each for each in (one, other) if each.holds]
        if true:
            clear = [each for each in true if not each.close]
            return (clear or true)[0]
        known = one.holds is False and other.holds is False
        now = f"{one.now}; {other.now}"
        return Claim(False if known else None, now, (*one.reads, *other.reads))

    def not_(self, one: Claim) -> Claim:
        holds = None if one.holds is None else not one.holds
        return replace(one, holds=holds, close=())

    def _meets(self, own: Bike, rule: Criteria, verdict: Judgement) -> Claim:
        said = "; ".join(verdict.reasons)
        if verdict.holds is None:
            said = f"not known of {own.full_name}: {', '.join(verdict.lacking)}"
        else:
            said = f"{own.full_name}: {said}"
        close = (f"{own.full_name} is a close call: {_edge(verdict)}",) if verdict.edge else ()
        return Claim(verdict.holds, said, _read_by([own], rule), close if verdict.holds else ())

    def _extreme(self, slug: str, figure: str, where: Any, among: Any, *, sign: int) -> Claim:
        key = repr((slug, figure, where, among, sign))
        if key not in self._known:
            self._known[key] = self._worked_out(slug, figure, where, among, sign)
        return self._known[key]

    def _worked_out(self, slug: str, figure: str, where: Any, among: Any, sign: int) -> Claim:
        own = self._bike(slug)
        kind = self._figure(figure)
        rule, judged = self._judge({} if where is None else where)
        inside = self._among(among)
        if slug not in inside:
            raise WrongError(f"{slug!r} is not in the list `among`", "Add it to the list", slug)
        verdict = judged[slug]
        if not verdict.holds:
            failed = self._meets(own, rule, verdict)
            outside = "is not among the bikes compared" if verdict.holds is False else "may not be"
            now = f"{own.full_name} {outside}: {'; '.join(verdict.reasons)}"
            return Claim(verdict.holds, now, failed.reads)
        found = self._table.get(slug, kind.id)
        if found is None:
            now = f"{kind.title} of {own.full_name} is not known"
            return Claim(None, now, ((slug, kind.id),))
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
        reads = _read_by(bikes, rule, kind.id)
        if beyond:
            return Claim(False, self._beaten(found, beyond, sign), reads)
        lead = f"{own.full_name} has the {'least' if sign > 0 else 'most'}: {kind.short}"
        if not others:
            return Claim(
                True, f"{lead} {show.text(found, self._system)}, and no other is known", reads
            )
        mine, second = told_apart(found, others[0], self._system)
        now = f"{lead} {mine}, then {self._name(others[0])} with {second}"
        return Claim(True, now, reads, self._close(found, others))

    def _beaten(self, found: Figure, beyond: Sequence[Figure], sign: int) -> str:
        """Such as `Zandreth Kirru is lighter: 14.2 kg against 15.1 kg`."""
        words = WORDS.get(found.id)
        how = words[0 if sign > 0 else 1] if words else ""
        first, own = told_apart(beyond[0], found, self._system)
        if how:
            said = f"{self._name(beyond[0])} is {how}: {first} against {own}"
        else:
            side = "lower" if sign > 0 else "higher"
            said = f"{self._name(beyond[0])} lies {side}: {found.kind.short} {first} against {own}"
        more = len(beyond) - 1
        return said + (
            f", and {more} more {'bike' if more == 1 else 'bikes'} besides" if more else ""
        )

    def _close(self, found: Figure, others: Sequence[Figure]) -> tuple[str, ...]:
        """The site's rule: figures differ clearly when their intervals do not meet."""
        level = [each for each in others if each.low <= found.high and found.low <= each.high]
        if not level:
            return ()
        names = _some([self._name(each) for each in level])
        certain = all(each.low == each.high for each in (found, *level))
        beside = "the same as" if certain else "no clear difference to"
        mine, other = (show.text(each, self._system) for each in (found, level[0]))
        return (f"{beside} {names}: {found.kind.short} {mine} and {other}",)

    def _among(self, among: Any) -> dict[str, Bike]:
        if among is None:
            return self._bikes
        if not isinstance(among, (list, tuple)):
            raise WrongError("`among` is not a list of bikes", 'Write among=["bike", "bike"]')
        return {slug: self._bike(slug) for slug in among}

    def _judge(self, criteria: Any) -> tuple[Criteria, dict[str, Judgement]]:
        """The criteria and how each bike stands to them."""
        if not isinstance(criteria, Mapping):
            what = "the criteria are not a group in braces"
            raise WrongError(what, 'Write such as {"use": "cargo", "mass": "at most 25 kg"}')
        key = repr(list(criteria.items()))
        if key not in self._judged:
            rule, wrong = read_criteria(criteria, self._table.kinds)
            if rule is not None:
                wrong = rule.unheard(self._table.bikes)
            if rule is None or wrong:
                first = wrong[0]
                raise WrongError(
                    f"{first.key}: {first.what}".removeprefix(": "), first.mend, first.key
                )
            self._judged[key] = (
                rule,
                {slug: rule.of(self._table, bike) for slug, bike in self._bikes.items()},
            )
        return self._judged[key]

    def _bike(self, slug: Any) -> Bike:
        if not isinstance(slug, str):
            raise WrongError("a bike's name is not a text", "Put it between quotation marks")
        if slug not in self._bikes:
            mend = nearest(slug, self._bikes, "bikes/")
            raise WrongError(f"there is no bike {slug!r:.80}", mend, slug[:80])
        return self._bikes[slug]

    def _figure(self, figure: Any) -> Kind:
        if not isinstance(figure, str):
            raise WrongError("a figure's name is not a text", "Put it between quotation marks")
        kinds = self._table.kinds
        found = kinds.get(figure) or kinds.get(f"spec.{figure}")
        if found is None:
            mend = nearest(figure, kinds, "the methods page")
            raise WrongError(f"there is no figure {figure!r:.80}", mend, figure[:80])
        return found

    def _name(self, figure: Figure) -> str:
        return self._bikes[figure.bike].full_name

    def _rest(self, bikes: Sequence[Bike]) -> list[Bike]:
        own = {bike.slug for bike in bikes}
        return [bike for slug, bike in self._bikes.items() if slug not in own]


def told_apart(one: Figure, other: Figure, system: show.System) -> tuple[str, str]:
    """Both figures as shown, with more decimals where they would read the same and are not."""
    texts = [show.text(each, system) for each in (one, other)]
    scale = show.scale(one.kind, system)
    places = 0
    while texts[0] == texts[1] and one.value != other.value and places < 6:
        places += 1
        texts = [
            show.join(show.digits(each.value * scale.factor, places), scale.unit)
            for each in (one, other)
        ]
    return texts[0], texts[1]


def _read_by(bikes: Iterable[Bike], rule: Criteria, *figures: str) -> Reads:
    keys = (*figures, *rule.reads)
    return tuple((bike.slug, key) for bike in bikes for key in keys)


def _near(judgement: Judgement) -> bool:
    """Would the other side of an interval change the answer?"""
    return judgement.edge and all(check.holds or check.edge for check in judgement.checks)


def _edge(judgement: Judgement) -> str:
    return next(check.reason for check in judgement.checks if check.edge)


def _some(names: Sequence[str]) -> str:
    """`A`, `A and B`, `A, B, C and 4 more`."""
    more = len(names) - NAMED
    parts = [*names[:NAMED], f"{more} more"] if more > 0 else list(names)
    return " and ".join((", ".join(parts[:-1]), parts[-1])) if len(parts) > 1 else "".join(parts)
