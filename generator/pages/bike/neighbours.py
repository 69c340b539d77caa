"""What the page of one bike shows of the rest of the site, as an argument of its job: the page depends on nothing else."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

from generator.figures.model import Figure
from generator.pages.compare.pairs import BikePairs
from generator.pages.frame import urls
from generator.pages.frame.headlines import select_headlines
from generator.pages.frame.pagination import find_list_page
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

LESS_WORDS = {"spec.mass": "Lighter than", "spec.price": "Cheaper than"}
"""Words in place of `Less than`, by figure id."""


@dataclass(frozen=True)
class Neighbours:
    """What the page of one bike shows of other bikes and pages."""

    ranks: dict[str, str]
    """Rank of each headline figure without a sentence among the other bikes, in words, by figure id."""
    law: str
    """Path of the page that judges the bike by the rules of every region."""
    rivals: tuple[tuple[str, str], ...]
    """Name and slug of the bikes that it is compared with."""
    prices: str
    """Path of the page of its prices; empty without one."""


def find_neighbours(renderer: Renderer, bike: Bike, pairs: BikePairs) -> Neighbours:
    """Return what the page of a bike says of the other bikes and pages."""
    figures = renderer.table.figures_of(bike.slug)
    shown = (figures[kind.id] for kind in select_headlines(each.kind for each in figures.values()))
    return Neighbours(
        {each.id: describe_rank(renderer, each) for each in shown if not each.sentence},
        find_list_page(urls.LAW, renderer.table.find_index(bike.slug)),
        tuple((rival.full_name, rival.slug) for rival in pairs.find_partners(bike)),
        urls.bike_prices(bike.slug) if bike.slug in renderer.content.priced_bikes else "",
    )


def describe_rank(renderer: Renderer, figure: Figure) -> str:
    """Where a figure stands among those of the other bikes with the same unit, such as one currency."""
    ranked = renderer.table.list_ranked_values(figure.id, figure.kind.unit)
    others = len(ranked) - 1
    if others < 1:
        return figure.kind.title
    which = f" priced in {figure.kind.unit.si}" if figure.kind.id == "spec.price" else " here"
    if figure.kind.better == "lower":
        count = len(ranked) - bisect_right(ranked, figure.value)
        words = LESS_WORDS.get(figure.id, "Less than")
    else:
        count = bisect_left(ranked, figure.value)
        words = "More than"
    return f"{words} {count} of the {others} others{which}"
