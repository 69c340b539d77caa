"""Tables of bikes by use, with their headline figures."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.model import Kind
from generator.pages import places
from generator.pages.headlines import headlines
from generator.pages.press import Press, name_of
from generator.specs.bike import Bike

ORDER = (
    "Listed by price, lowest first, one currency after the other; bikes without a price come last. "
    "Nothing but the price decides."
)


@dataclass(frozen=True)
class Row:
    name: str
    href: str
    remark: str
    """Announced, withdrawn, or empty."""
    cells: list[Markup]


@dataclass(frozen=True)
class Shelf:
    """The bikes of one use."""

    use: str
    title: str
    href: str
    heads: list[Kind]
    rows: list[Row]


def by_use(press: Press) -> dict[str, list[Bike]]:
    """Bikes of each use in the order of the shelf, uses in the alphabet."""
    found: dict[str, list[Bike]] = defaultdict(list)
    for bike in ordered(press.table.bikes):
        for use in bike.uses:
            found[use].append(bike)
    return dict(sorted(found.items()))


def ordered(bikes: Sequence[Bike]) -> list[Bike]:
    """By price within each currency; without a price last."""
    return sorted(
        bikes,
        key=lambda bike: (
            bike.price is None,
            bike.price.currency if bike.price else "",
            bike.price.amount if bike.price else 0.0,
            bike.slug,
        ),
    )


def shelf(press: Press, use: str, bikes: Sequence[Bike], path: str) -> Shelf:
    heads = headlines(press.table.kinds.values())
    rows = [
        Row(
            name_of(bike),
            places.link(path, places.bike(bike.slug)),
            "" if bike.status == "on sale" else bike.status,
            [press.number(press.table.get(bike.slug, kind.id), path) for kind in heads],
        )
        for bike in bikes
    ]
    return Shelf(use, title(use), places.link(path, places.use(use)), heads, rows)


def title(use: str) -> str:
    """Heading of a use."""
    return TITLES.get(use, use.capitalize())


TITLES = {
    "city": "For the city",
    "commuting": "For commuting",
    "touring": "For touring",
    "cargo": "For cargo and children",
    "folding": "Folding",
    "mountain": "For the mountains",
    "leisure": "For leisure",
}
