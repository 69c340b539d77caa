"""Tables of bikes with their headline figures, a hundred to a page, and what a reader can filter them by."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.criteria.criteria import by_price
from generator.figures.model import Kind
from generator.pages.frame import numbers, urls
from generator.pages.frame.headlines import headlines
from generator.pages.frame.pagination import Leaf
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

ORDER = (
    "Listed by price, lowest first, one currency after the other; bikes without a price come last. "
    "Nothing but the price decides."
)


@dataclass(frozen=True)
class Row:
    slug: str
    name: str
    href: str
    remark: str
    """Announced, withdrawn, or empty."""
    uses: str
    cells: list[Markup]


@dataclass(frozen=True)
class Shelf:
    """A page of a list of bikes."""

    path: str
    title: str
    use: str
    """Of all bikes in the list; empty for the list of all."""
    heads: list[tuple[Kind, str]]
    """Each figure with the link to its explanation."""
    rows: list[Row]
    leaf: Leaf


def by_use(renderer: Renderer) -> dict[str, list[Bike]]:
    """Bikes of each use in the order of the shelf, uses in the alphabet."""
    found: dict[str, list[Bike]] = defaultdict(list)
    for bike in ordered(renderer.table.bikes, renderer.settings.currency):
        for use in bike.uses:
            found[use].append(bike)
    return dict(sorted(found.items()))


ordered = by_price
"""Of bikes and the publication's own currency."""


def shelf(renderer: Renderer, title: str, use: str, leaf: Leaf) -> Shelf:
    """A page of a list; the press has its bikes alone, in the list's order."""
    heads = headlines(renderer.table.kinds.values())
    heads.sort(key=lambda kind: kind.id != "spec.price")  # the list is in the order of prices
    return Shelf(
        leaf.path,
        title,
        use,
        [(kind, urls.link(leaf.path, numbers.explained_at(kind.id))) for kind in heads],
        [_row(renderer, bike, heads, leaf.path) for bike in renderer.table.bikes],
        leaf,
    )


def _row(renderer: Renderer, bike: Bike, heads: Sequence[Kind], path: str) -> Row:
    return Row(
        bike.slug,
        bike.full_name,
        urls.link(path, urls.bike(bike.slug)),
        "" if bike.status == "on sale" else bike.status,
        ", ".join(bike.uses),
        [renderer.number(renderer.table.get(bike.slug, kind.id), path) for kind in heads],
    )


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
