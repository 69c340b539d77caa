"""What we know of a bike's prices: newest by seller, lowest on record, what is old, what may be called a cut.

* history    all of it for one bike

What a link pays plays no part here: sellers stand in the order of their prices, and nothing here is told of links.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby

from generator.content.money.read import Observation
from generator.figures.records.price_cuts import Cut, cut

ORDER = (
    "Sellers stand in the order of their newest price, lowest first; prices that nobody has checked lately come last."
    " What a link pays, or whether it pays, changes nothing in that order."
)


@dataclass(frozen=True)
class AtSeller:
    """One seller's prices of a bike in one currency."""

    rows: tuple[Observation, ...]
    """Oldest first; at least one."""
    stale: bool
    """Nobody has checked the newest for longer than the publication allows, or nobody knows."""
    cut: Cut

    @property
    def newest(self) -> Observation:
        return self.rows[-1]


@dataclass(frozen=True)
class Lowest:
    """The lowest price on record of those that can be compared: one currency, all with tax or all without."""

    at: Observation
    """The latest observation of it."""
    count: int
    """Of observations that it is the lowest of."""
    since: date
    """Day of the first of them."""


@dataclass(frozen=True)
class History:
    sellers: tuple[AtSeller, ...]
    lowest: tuple[Lowest, ...]

    @property
    def newest(self) -> date | None:
        """Day of the newest observation."""
        return max((each.newest.day for each in self.sellers), default=None)


def history(
    prices: Sequence[Observation],
    *,
    region: str,
    currency: str,
    today: date | None,
    stale_days: int,
) -> History:
    """The history of one bike's prices.

    Parameters
    ----------
    prices
        Observations of that bike, in any order.
    region, currency
        Of the publication; its own currency comes first.
    today
        The day by which prices are old; None when nothing says which it is.
    stale_days
        A price older than this is old. [days]
    """
    ordered = sorted(prices, key=lambda one: (one.seller, one.currency, one.day))
    sellers = []
    for _, group in groupby(ordered, key=lambda one: (one.seller, one.currency)):
        rows = tuple(group)
        stale = today is None or (today - rows[-1].day).days > stale_days
        sellers.append(AtSeller(rows, stale, cut(rows, region, today, stale=stale)))
    sellers.sort(key=lambda each: _place(each, currency))
    return History(tuple(sellers), _lowest(ordered, currency))


def _place(each: AtSeller, currency: str) -> tuple[bool, bool, str, bool, Decimal, str]:
    newest = each.newest
    foreign = newest.currency != currency
    return (
        each.stale,
        foreign,
        newest.currency,
        not newest.includes_tax,
        newest.amount,
        newest.seller,
    )


def _lowest(prices: Sequence[Observation], currency: str) -> tuple[Lowest, ...]:
    kinds: dict[tuple[bool, str, bool], list[Observation]] = {}
    for one in prices:
        kind = (one.currency != currency, one.currency, not one.includes_tax)
        kinds.setdefault(kind, []).append(one)
    return tuple(
        Lowest(
            min(rows, key=lambda one: (one.amount, -one.day.toordinal(), one.seller)),
            len(rows),
            min(one.day for one in rows),
        )
        for _, rows in sorted(kinds.items())
    )
