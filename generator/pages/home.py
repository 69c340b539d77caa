"""The home page."""

from collections.abc import Iterator

from generator.pages.compare.pairs import BikePairs
from generator.pages.frame import urls
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer
from generator.pages.lists import bike_table


def outputs(renderer: Renderer) -> Iterator[Output]:
    """Yield the home page."""
    pairs = BikePairs(renderer.table.bikes)
    by_use = bike_table.group_by_use(renderer)
    yield renderer.render_page(
        _home_page(renderer, pairs, {use: len(bikes) for use, bikes in by_use.items()})
    )


def _home_page(renderer: Renderer, pairs: BikePairs, counts: dict[str, int]) -> Page:
    settings = renderer.settings
    return Page(
        path=urls.HOME,
        template="home.html",
        title=settings.title,
        description=settings.tagline,
        data=({"@type": "WebSite", "name": settings.title, "url": settings.address},),
        values={
            "uses": [
                (bike_table.find_use_title(use), urls.use(use), count)
                for use, count in counts.items()
            ],
            "guides": [
                (text.title, text.summary, urls.guide(text.slug)) for text in _sort_guides(renderer)
            ],
            "pairs": len(pairs.all),
            "terms": len(renderer.content.terms),
            "bikes": len(renderer.table.bikes),
            "chart": renderer.chart(settings.currency, "price.range"),
        },
    )


def _sort_guides(renderer: Renderer) -> list:
    return sorted(renderer.content.guides, key=lambda text: (text.order, text.slug))
