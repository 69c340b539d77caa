"""All that the page of one bike says of the rest of the site, so that it changes with nothing else.

* Surroundings   of one bike
* around         those of a bike among all others
"""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

from generator.figures.model import Figure
from generator.pages.compare.pairs import Pairs
from generator.pages.frame import urls
from generator.pages.frame.headlines import headlines
from generator.pages.frame.pagination import leaf_of
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

LESS = {"spec.mass": "Lighter than", "spec.price": "Cheaper than"}
"""In place of `less than`."""


@dataclass(frozen=True)
class Surroundings:
    beside: dict[str, str]
    """Where a headline figure without a sentence stands among those of the others, by its id."""
    law: str
    """Path of the page on which the bike stands before the rules of every region."""
    rivals: tuple[tuple[str, str], ...]
    """Name and slug of the bikes that it is set beside."""
    prices: str
    """Path of its page of prices that were seen; empty without one."""


def around(renderer: Renderer, bike: Bike, pairs: Pairs) -> Surroundings:
    figures = renderer.table.of(bike.slug)
    told = (figures[kind.id] for kind in headlines(each.kind for each in figures.values()))
    return Surroundings(
        {each.id: beside(renderer, each) for each in told if not each.sentence},
        leaf_of(urls.LAW, renderer.table.place(bike.slug)),
        tuple((rival.full_name, rival.slug) for rival in pairs.of(bike)),
        urls.bike_prices(bike.slug) if bike.slug in renderer.content.priced else "",
    )


def beside(renderer: Renderer, figure: Figure) -> str:
    """Where a figure stands among those of the other bikes with the same unit, such as one currency."""
    ranked = renderer.table.ranked(figure.id, figure.kind.unit)
    others = len(ranked) - 1
    if others < 1:
        return figure.kind.title
    which = f" priced in {figure.kind.unit.si}" if figure.kind.id == "spec.price" else " here"
    if figure.kind.better == "lower":
        count = len(ranked) - bisect_right(ranked, figure.value)
        words = LESS.get(figure.id, "Less than")
    else:
        count = bisect_left(ranked, figure.value)
        words = "More than"
    return f"{words} {count} of the {others} others{which}"
