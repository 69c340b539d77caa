"""Price history of a bike: newest price by seller, lowest on record, which prices are old, which are a cut.

* build_price_history    the price history of one bike

Sellers stand in the order of their prices. What a link pays plays no part: this module does not know the links.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby

from generator.content.money.read import PriceObservation
from generator.figures.records.price_cuts import PriceCut, judge_cut

ORDER_SENTENCE = (
    "Sellers stand in the order of their newest price, lowest first; prices that nobody has checked lately come last."
    " What a link pays, or whether it pays, changes nothing in that order."
)


@dataclass(frozen=True)
class SellerPrices:
    """One seller's prices of a bike in one currency."""

    rows: tuple[PriceObservation, ...]
    """Oldest first; at least one."""
    stale: bool
    """Whether the newest is older than the publication allows, or of unknown age."""
    cut: PriceCut

    @property
    def newest(self) -> PriceObservation:
        return self.rows[-1]


@dataclass(frozen=True)
class LowestPrice:
    """The lowest price on record of those that can be compared: one currency, all with tax or all without."""

    at: PriceObservation
    """The latest observation of it."""
    count: int
    """Number of observations compared."""
    since: date
    """Day of the first observation compared."""


@dataclass(frozen=True)
class PriceHistory:
    """Prices of one bike, by seller, and the lowest on record."""

    sellers: tuple[SellerPrices, ...]
    lowest: tuple[LowestPrice, ...]

    @property
    def newest(self) -> date | None:
        """Day of the newest observation."""
        return max((each.newest.day for each in self.sellers), default=None)


def build_price_history(
    prices: Sequence[PriceObservation],
    *,
    region: str,
    currency: str,
    today: date | None,
    stale_days: int,
) -> PriceHistory:
    """The price history of one bike.

    Parameters
    ----------
    prices
        Observations of that bike, in any order.
    region, currency
        Region and currency of the publication; its currency comes first.
    today
        Day from which the age of prices is counted; None when unknown.
    stale_days
        A price older than this is old. [days]
    """
    ordered = sorted(prices, key=lambda one: (one.seller, one.currency, one.day))
    sellers = []
    for _, group in groupby(ordered, key=lambda one: (one.seller, one.currency)):
        rows = tuple(group)
        stale = today is None or (today - rows[-1].day).days > stale_days
        sellers.append(SellerPrices(rows, stale, judge_cut(rows, region, today, stale=stale)))
    sellers.sort(key=lambda each: _make_sort_key(each, currency))
    return PriceHistory(tuple(sellers), _find_lowest_prices(ordered, currency))


def _make_sort_key(each: SellerPrices, currency: str) -> tuple[bool, bool, str, bool, Decimal, str]:
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


def _find_lowest_prices(
    prices: Sequence[PriceObservation], currency: str
) -> tuple[LowestPrice, ...]:
    kinds: dict[tuple[bool, str, bool], list[PriceObservation]] = {}
    for one in prices:
        kind = (one.currency != currency, one.currency, not one.includes_tax)
        kinds.setdefault(kind, []).append(one)
    return tuple(
        LowestPrice(
            min(rows, key=lambda one: (one.amount, -one.day.toordinal(), one.seller)),
            len(rows),
            min(one.day for one in rows),
        )
        for _, rows in sorted(kinds.items())
    )
