"""Observed prices and links to sellers, as the content folder states them.

* PriceObservation    one observed price: a line of `content/prices.csv`
* ShopLink            one link to a seller: an entry of `content/links.yaml`
* RELATIONS           the publication's possible relations to a seller, or to the maker of a bike
* minor_digits        decimals that an amount of a currency may have
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

RELATIONS = ("none", "affiliate", "paid", "gifted", "loaned", "own")
"""Relations that a link may state; stating none at all is an error."""
MUST_DISCLOSE = frozenset(RELATIONS) - {"none"}
"""Relations that must be disclosed before readers follow a link."""
BIKE_RELATIONS = ("none", "gifted", "loaned", "paid")
"""Relations that a ridden bike may state, as in `bikes/bike.schema.json`."""

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
class PriceObservation:
    """One price of one bike at one seller on one day."""

    bike: str
    """Slug of the bike."""
    seller: str
    amount: Decimal
    currency: str
    """ISO 4217 code."""
    day: date
    includes_tax: bool
    link: str = ""
    """Id of the link to the offer; empty without one."""
    expires: date | None = None
    """Last day of the offer, where the seller names one."""
    note: str = ""
    line: int = 0
    """Line of the file."""
    columns: tuple[tuple[str, int], ...] = ()
    """Name of each cell with the column at which it begins."""

    def column(self, name: str) -> int:
        return dict(self.columns).get(name, 0)


@dataclass(frozen=True)
class ShopLink:
    """A link to a seller, with the publication's relation to the seller."""

    id: str
    url: str
    seller: str
    words: str
    """Text of the link."""
    relation: str
    """One of `RELATIONS`."""
    bike: str = ""
    """Slug of the bike; empty for a link about no particular bike."""
    expires: date | None = None
    """Last day on which it may be shown."""
    seen: date | None = None
    """Day on which it was last checked."""
    places: tuple[tuple[str, tuple[int, int]], ...] = ()
    """Each key with its line and column; always includes `id`."""

    @property
    def must_disclose(self) -> bool:
        """Must the relation be disclosed to readers?"""
        return self.relation in MUST_DISCLOSE

    def place(self, key: str) -> tuple[int, int]:
        known = dict(self.places)
        return known.get(key, known.get("id", (0, 0)))


def minor_digits(currency: str) -> int:
    """Decimals of a currency's minor unit: 2 for EUR, 0 for JPY, 3 for KWD (ISO 4217)."""
    return _DIGITS.get(currency, 2)
