"""Tables of bikes with their headline figures, split into pages, and the titles of uses."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.criteria.criteria import sort_by_price
from generator.figures.model import FigureKind
from generator.pages.frame import numbers, urls
from generator.pages.frame.headlines import select_headlines
from generator.pages.frame.pagination import ListPage
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

ORDER = (
    "Listed by price, lowest first, one currency after the other; bikes without a price come last. "
    "Nothing but the price decides."
)


@dataclass(frozen=True)
class BikeRow:
    """One bike in a table."""

    slug: str
    name: str
    href: str
    remark: str
    """`announced`, `withdrawn` or empty."""
    uses: str
    """Uses joined by commas."""
    cells: list[Markup]
    """Figures in the order of the table's heads."""


@dataclass(frozen=True)
class BikeTable:
    """A page of a list of bikes."""

    path: str
    title: str
    use: str
    """Of all bikes in the list; empty for the list of all."""
    heads: list[tuple[FigureKind, str]]
    """Each figure with the link to its explanation."""
    rows: list[BikeRow]
    list_page: ListPage


def group_by_use(renderer: Renderer) -> dict[str, list[Bike]]:
    """Bikes of each use in order of price, uses in alphabetical order."""
    found: dict[str, list[Bike]] = defaultdict(list)
    for bike in sort_bikes(renderer.table.bikes, renderer.settings.currency):
        for use in bike.uses:
            found[use].append(bike)
    return dict(sorted(found.items()))


sort_bikes = sort_by_price
"""The order of every list: by price, first in the publication's currency."""


def build_table(
    renderer: Renderer, title: str, use: str, list_page: ListPage, slugs: Sequence[str]
) -> BikeTable:
    """A page of a list with these bikes, given in the list's order."""
    heads = select_headlines(renderer.table.kinds.values())
    heads.sort(key=lambda kind: kind.id != "spec.price")  # the list is in the order of prices
    return BikeTable(
        list_page.path,
        title,
        use,
        [(kind, urls.link(list_page.path, numbers.method_entry_path(kind.id))) for kind in heads],
        [_build_row(renderer, bike, heads, list_page.path) for bike in renderer.bikes(slugs)],
        list_page,
    )


def _build_row(renderer: Renderer, bike: Bike, heads: Sequence[FigureKind], path: str) -> BikeRow:
    return BikeRow(
        bike.slug,
        bike.full_name,
        urls.link(path, urls.bike(bike.slug)),
        "" if bike.status == "on sale" else bike.status,
        ", ".join(bike.uses),
        [renderer.number(renderer.table.get(bike.slug, kind.id), path) for kind in heads],
    )


def find_use_title(use: str) -> str:
    """Title of the list of a use."""
    return USE_TITLES.get(use, use.capitalize())


USE_TITLES = {
    "city": "For the city",
    "commuting": "For commuting",
    "touring": "For touring",
    "cargo": "For cargo and children",
    "folding": "Folding",
    "mountain": "For the mountains",
    "leisure": "For leisure",
}
