"""Prices that were seen and links that lead to sellers, as the content folder states them.

* Observation     one price, seen by somebody on one day: a line of `content/prices.csv`
* ShopLink        one commercial link that leads out: an entry of `content/links.yaml`
* RELATIONS       what may tie us to whom a link leads to, or to whom a bike came from
* minor_digits    decimals that an amount of a currency may have
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

RELATIONS = ("none", "affiliate", "paid", "gifted", "loaned", "own")
"""Of a link. Nothing written is none of these: it is an error."""
DUE = frozenset(RELATIONS) - {"none"}
"""Relations that readers must be told of before they follow a link."""
ON_LOAN = ("none", "gifted", "loaned", "paid")
"""Of a bike that we rode; `bikes/bike.schema.json` lists the same."""

_DIGITS = {
    **dict.fromkeys(
        ["BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND", "VUV", "XAF", "XOF", "XPF"], 0
    ),
    **dict.fromkeys(["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"], 3),
    **dict.fromkeys(["CLF", "UYW"], 4),
}  # fmt: skip
"""Currencies whose minor unit is not a hundredth. Source: ISO 4217:2015, list one (from memory; a browser
test holds it to the digits that ECMA-402 takes from ISO 4217)."""


@dataclass(frozen=True)
class Observation:
    """One price of one bike at one seller on one day."""

    bike: str
    """Slug."""
    seller: str
    amount: Decimal
    currency: str
    """ISO 4217 code."""
    day: date
    includes_tax: bool
    link: str = ""
    """Id of the link by which it was seen; empty without one."""
    expires: date | None = None
    """Last day of the offer, where the seller names one."""
    note: str = ""
    line: int = 0
    """Of the file."""
    columns: tuple[tuple[str, int], ...] = ()
    """Name of each cell to the column at which it begins."""

    def column(self, name: str) -> int:
        return dict(self.columns).get(name, 0)


@dataclass(frozen=True)
class ShopLink:
    """A link to somebody who sells, and what ties us to them."""

    id: str
    url: str
    seller: str
    words: str
    """What readers click on."""
    relation: str
    """One of `RELATIONS`."""
    bike: str = ""
    """Slug; empty for a link that is about no bike in particular."""
    expires: date | None = None
    """Last day on which it may stand."""
    seen: date | None = None
    places: tuple[tuple[str, tuple[int, int]], ...] = ()
    """Key to its line and column; the key `id` is always there."""

    @property
    def due(self) -> bool:
        """Must readers be told of the relation?"""
        return self.relation in DUE

    def place(self, key: str) -> tuple[int, int]:
        known = dict(self.places)
        return known.get(key, known.get("id", (0, 0)))


def minor_digits(currency: str) -> int:
    """Decimals of a currency's minor unit: 2 for EUR, 0 for JPY, 3 for KWD (ISO 4217)."""
    return _DIGITS.get(currency, 2)
