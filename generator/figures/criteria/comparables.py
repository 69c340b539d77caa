"""Values of a bike that lie far from those of comparable bikes.

* find_oddities              the odd values of one bike, with the range of the others and the likely mistake
* compute_compared_figures   the figures that they are compared by

A value is odd when it lies outside the range of at least four comparable bikes by more than a factor
(`comparable_values`). So that one wrong value cannot hide another, values beyond three times or under a
third of the median are left out of the range. Comparable bikes share classes (kind of bike, motor,
assisted speed, wheels); the finer classes are dropped one by one until enough bikes are left.
"""

import math
import statistics
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from generator.content.model import Content
from generator.figures.criteria.comparable_values import (
    CLASSES,
    VALUES,
    ComparedValue,
    format_value,
)
from generator.specs.bike import Bike, Stated
from generator.specs.quantity import QuantityError, parse_quantity
from generator.specs.units import ORDINARY, UNITS
from generator.specs.yaml.located import Keys

LEAST = 4
"""Least number of comparable bikes that prove anything."""
FAR = 3.0
"""Ratio to the median beyond which a comparable value is left out of the range; common practice, no source."""
CONFIRMED = 0.1
"""Relative difference within which our own test confirms a stated value; common practice, no source."""
NAMED = 3
"""Most bikes named in a message."""

Figures = Mapping[str, Mapping[str, float]]
"""Values by figure id, then by slug. SI."""


@dataclass(frozen=True)
class Oddity:
    """A value that should be checked."""

    keys: Keys
    what: str
    mend: str


@dataclass(frozen=True)
class _ComparableBikes:
    """Comparable bikes that have a value."""

    values: dict[str, float]
    """Values by slug, rising. SI."""
    words: str
    """The classes that the bikes share, in words."""

    @property
    def low(self) -> float:
        return min(self._without_outliers())

    @property
    def high(self) -> float:
        return max(self._without_outliers())

    def _without_outliers(self) -> list[float]:
        middle = statistics.median(self.values.values())
        kept = [each for each in self.values.values() if middle / FAR <= each <= middle * FAR]
        return kept if len(kept) >= LEAST else list(self.values.values())


def compute_compared_figures(
    bikes: Sequence[Bike], content: Content
) -> dict[str, dict[str, float]]:
    """Compared figures of these bikes by figure id and slug, without intervals; unknown values are left out. SI."""
    from generator.figures import kinds
    from generator.figures.inputs.case import Case
    from generator.figures.registry import REGISTRY

    assert kinds  # importing it registers the figures
    case = Case(bikes, content, spans=False)
    wanted = {_figure_id(value, content) for value in VALUES if value.figure}
    found: dict[str, dict[str, float]] = {}
    for definition in REGISTRY.definitions:
        for variant in definition.each(case):
            id = variant.fill_template(definition.id)
            if id in wanted:
                column = definition.function(case, **dict(variant.values))[:, 0]
                pairs = zip(case.bikes, map(float, column), strict=True)
                found[id] = {bike.slug: each for bike, each in pairs if math.isfinite(each)}
    return found


def find_oddities(
    bike: Bike, others: Sequence[Bike], figures: Figures, content: Content
) -> list[Oddity]:
    """Odd values of a bike among `others`; `figures` holds the figures of all of them.

    One oddity for each place of the spec file, stated values before the figures that follow from them.
    """
    found: dict[Keys, Oddity] = {}
    for value in VALUES:
        if value.keys in found or (value.figure and found):
            continue  # a figure that follows from an odd value is odd for that reason
        column = figures.get(_figure_id(value, content), {})
        mine = _find_value(bike, value, column)
        if mine is None or mine <= 0 or _is_confirmed(bike, value, mine):
            continue
        peers = _find_comparable_bikes(bike, others, value, column)
        if peers is not None and (odd := _describe_oddity(bike, value, mine, peers)):
            found[value.keys] = odd
    return list(found.values())


def _figure_id(value: ComparedValue, content: Content) -> str:
    usual = next((route.id for route in content.routes if route.default), "")
    return value.figure.replace("{route}", usual)


def _find_value(bike: Bike, value: ComparedValue, column: Mapping[str, float]) -> float | None:
    if value.stated is None:
        return column.get(bike.slug)
    found = value.stated(bike)
    return found.value if isinstance(found, Stated) else found


def _is_confirmed(bike: Bike, value: ComparedValue, mine: float) -> bool:
    """Whether the value was measured, or our own test agrees with it."""
    stated = value.stated(bike) if value.stated else None
    if isinstance(stated, Stated) and stated.basis == "measured":
        return True
    tests = [test.value.value for test in bike.tests if (test.what,) == value.keys]
    return any(abs(mine / each - 1) <= CONFIRMED for each in tests if each > 0)


def _find_comparable_bikes(
    bike: Bike, others: Sequence[Bike], value: ComparedValue, column: Mapping[str, float]
) -> _ComparableBikes | None:
    """The most closely comparable bikes that have the value; None if there are too few."""
    for count in range(len(value.prefer), -1, -1):
        classes = [CLASSES[name] for name in (*value.must, *value.prefer[:count])]
        mine = [(each, each(bike)) for each in classes]
        shared = [(each, word) for each, word in mine if word]
        alike = [
            other
            for other in others
            if other.slug != bike.slug and all(each(other) == word for each, word in shared)
        ]
        values = {other.slug: _find_value(other, value, column) for other in alike}
        known = {slug: each for slug, each in values.items() if each is not None and each > 0}
        if len(known) >= LEAST:
            ordered = dict(sorted(known.items(), key=lambda pair: (pair[1], pair[0])))
            return _ComparableBikes(ordered, ", ".join(word for _, word in shared))
    return None


def _describe_oddity(
    bike: Bike, value: ComparedValue, mine: float, peers: _ComparableBikes
) -> Oddity | None:
    low, high = peers.low, peers.high
    if low / value.factor <= mine <= high * value.factor:
        return None
    small = mine < low
    edge, side = (low, "least") if small else (high, "greatest")
    how = edge / mine if small else mine / edge
    stated = value.stated(bike) if value.stated else None
    written = stated.text if isinstance(stated, Stated) else format_value(mine, value.scale)
    slugs = list(peers.values) if small else list(reversed(peers.values))
    near = ", ".join(slug for slug in slugs if low <= peers.values[slug] <= high)
    near = ", ".join(near.split(", ")[:NAMED])
    alike = f" ({peers.words})" if peers.words else ""
    what = (
        f"{value.title} {written} is {how:.2g} times {'under' if small else 'over'} the {side} of"
        f" {len(peers.values)} comparable bikes{alike}: {format_value(edge, value.scale)};"
        f" the nearest are {near}"
    )
    guess = next(_guess_mistakes(stated, value, low, high), value.low if small else value.high)
    return Oddity(value.keys, what, f"Check it against its source. {guess}")


def _guess_mistakes(
    stated: Stated | float | None, value: ComparedValue, low: float, high: float
) -> Iterator[str]:
    """Questions about likely mistakes: the number in another unit, or with a zero too many or too few."""
    if not isinstance(stated, Stated):
        return
    written = _read_unit(stated)
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


def _read_unit(stated: Stated) -> tuple[float, str] | None:
    """Number and symbol of the unit in a stated value's text."""
    for dimension in dict.fromkeys(unit.dimension for unit in UNITS):
        try:
            found = parse_quantity(stated.text, dimension)
        except QuantityError:
            continue
        return found.number, found.unit.symbol
    return None
