"""Which values of a bike lie far from those of bikes like it?

* oddities     the odd ones of one bike, with the range of the others and the usual slip

A value is odd when it lies outside the range of at least four comparable bikes by more than a factor
(`comparable_values`). One wrong value among those cannot hide another: what lies beyond three times
or under a third of their median is left out of the range. Comparable bikes share classes (kind of bike, motor, assisted
speed, wheels); the finer classes are given up, one by one, until enough bikes are left.
"""

import math
import statistics
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from generator.content.model import Content
from generator.figures.criteria.comparable_values import CLASSES, VALUES, Value, shown
from generator.specs.bike import Bike, Stated
from generator.specs.quantity import QuantityError, parse
from generator.specs.units import ORDINARY, UNITS
from generator.specs.yaml.located import Keys

LEAST = 4
"""Fewer comparable bikes say nothing."""
FAR = 3.0
"""Times the median: a comparable value beyond is left out of the range; common practice, no source."""
CONFIRMED = 0.1
"""An own test this near to a stated mass confirms it; common practice, no source."""
NAMED = 3
"""Bikes named in a message."""

Figures = Mapping[str, Mapping[str, float]]
"""By figure id, then by slug. SI."""


@dataclass(frozen=True)
class Oddity:
    """A value that somebody should look at again."""

    keys: Keys
    what: str
    mend: str


@dataclass(frozen=True)
class _Peers:
    """Comparable bikes that have a value."""

    values: dict[str, float]
    """By slug, from the least. SI."""
    words: str
    """What they share."""

    @property
    def low(self) -> float:
        return min(self._kept())

    @property
    def high(self) -> float:
        return max(self._kept())

    def _kept(self) -> list[float]:
        middle = statistics.median(self.values.values())
        kept = [each for each in self.values.values() if middle / FAR <= each <= middle * FAR]
        return kept if len(kept) >= LEAST else list(self.values.values())


def nominal(bikes: Sequence[Bike], content: Content) -> dict[str, dict[str, float]]:
    """The compared figures of these bikes, without their intervals; what a bike lacks is left out."""
    from generator.figures import kinds
    from generator.figures.inputs.case import Case
    from generator.figures.registry import REGISTRY

    assert kinds  # importing it registers the figures
    case = Case(bikes, content, spans=False)
    wanted = {_id(value, content) for value in VALUES if value.figure}
    found: dict[str, dict[str, float]] = {}
    for definition in REGISTRY.definitions:
        for variant in definition.each(case):
            id = variant.fill(definition.id)
            if id in wanted:
                column = definition.function(case, **dict(variant.values))[:, 0]
                pairs = zip(case.bikes, map(float, column), strict=True)
                found[id] = {bike.slug: each for bike, each in pairs if math.isfinite(each)}
    return found


def oddities(
    bike: Bike, others: Sequence[Bike], figures: Figures, content: Content
) -> list[Oddity]:
    """What is odd about a bike beside `others`; `figures` holds those of all of them.

    One oddity for each place of the spec file, the stated values before what hangs on them.
    """
    found: dict[Keys, Oddity] = {}
    for value in VALUES:
        if value.keys in found or (value.figure and found):
            continue  # a figure that hangs on an odd value is odd for that reason
        column = figures.get(_id(value, content), {})
        mine = _of(bike, value, column)
        if mine is None or mine <= 0 or _confirmed(bike, value, mine):
            continue
        peers = _peers(bike, others, value, column)
        if peers is not None and (odd := _odd(bike, value, mine, peers)):
            found[value.keys] = odd
    return list(found.values())


def _id(value: Value, content: Content) -> str:
    usual = next((route.id for route in content.routes if route.default), "")
    return value.figure.replace("{route}", usual)


def _of(bike: Bike, value: Value, column: Mapping[str, float]) -> float | None:
    if value.stated is None:
        return column.get(bike.slug)
    found = value.stated(bike)
    return found.value if isinstance(found, Stated) else found


def _confirmed(bike: Bike, value: Value, mine: float) -> bool:
    """Was it measured, or put on the scale since?"""
    stated = value.stated(bike) if value.stated else None
    if isinstance(stated, Stated) and stated.basis == "measured":
        return True
    tests = [test.value.value for test in bike.tests if (test.what,) == value.keys]
    return any(abs(mine / each - 1) <= CONFIRMED for each in tests if each > 0)


def _peers(
    bike: Bike, others: Sequence[Bike], value: Value, column: Mapping[str, float]
) -> _Peers | None:
    """The nearest comparable bikes that have the value; None when they are too few."""
    for count in range(len(value.prefer), -1, -1):
        classes = [CLASSES[name] for name in (*value.must, *value.prefer[:count])]
        mine = [(each, each(bike)) for each in classes]
        shared = [(each, word) for each, word in mine if word]
        alike = [
            other
            for other in others
            if other.slug != bike.slug and all(each(other) == word for each, word in shared)
        ]
        values = {other.slug: _of(other, value, column) for other in alike}
        known = {slug: each for slug, each in values.items() if each is not None and each > 0}
        if len(known) >= LEAST:
            ordered = dict(sorted(known.items(), key=lambda pair: (pair[1], pair[0])))
            return _Peers(ordered, ", ".join(word for _, word in shared))
    return None


def _odd(bike: Bike, value: Value, mine: float, peers: _Peers) -> Oddity | None:
    low, high = peers.low, peers.high
    if low / value.factor <= mine <= high * value.factor:
        return None
    small = mine < low
    edge, side = (low, "least") if small else (high, "greatest")
    how = edge / mine if small else mine / edge
    stated = value.stated(bike) if value.stated else None
    written = stated.text if isinstance(stated, Stated) else shown(mine, value.scale)
    slugs = list(peers.values) if small else list(reversed(peers.values))
    near = ", ".join(slug for slug in slugs if low <= peers.values[slug] <= high)
    near = ", ".join(near.split(", ")[:NAMED])
    alike = f" ({peers.words})" if peers.words else ""
    what = (
        f"{value.title} {written} is {how:.2g} times {'under' if small else 'over'} the {side} of"
        f" {len(peers.values)} comparable bikes{alike}: {shown(edge, value.scale)};"
        f" the nearest are {near}"
    )
    guess = next(_slips(stated, value, low, high), value.low if small else value.high)
    return Oddity(value.keys, what, f"Check it against its source. {guess}")


def _slips(stated: Stated | float | None, value: Value, low: float, high: float) -> Iterator[str]:
    """What may have been meant: the same number in another unit, or a zero more or less."""
    if not isinstance(stated, Stated):
        return
    written = _unit(stated)
    if written is None:
        return
    number, symbol = written
    here = next(each for each in UNITS if each.symbol == symbol)
    for unit in UNITS:
        fits = unit.dimension == here.dimension and unit.symbol in ORDINARY and unit != here
        if fits and low <= unit.to_si(number) <= high:
            yield f"Did the source say {number:g} {unit.symbol}?"
    for factor in (0.1, 10.0, 0.01, 100.0) if value.step else ():
        if low <= here.to_si(number * factor) <= high:
            yield f"Did the source say {number * factor:g} {symbol}?"


def _unit(stated: Stated) -> tuple[float, str] | None:
    """Number and unit of a stated value's words."""
    for dimension in dict.fromkeys(unit.dimension for unit in UNITS):
        try:
            found = parse(stated.text, dimension)
        except QuantityError:
            continue
        return found.number, found.unit.symbol
    return None
