"""The home page."""

from collections.abc import Iterator

from generator.pages.compare.pairs import Pairs
from generator.pages.frame import urls
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Press, Sheet
from generator.pages.lists import bike_table


def outputs(press: Press, pairs: Pairs) -> Iterator[Output]:
    by_use = bike_table.by_use(press)
    yield press.printed(_home(press, pairs, {use: len(bikes) for use, bikes in by_use.items()}))


def _home(press: Press, pairs: Pairs, counts: dict[str, int]) -> Sheet:
    settings = press.settings
    return Sheet(
        path=urls.HOME,
        template="home.html",
        title=settings.title,
        description=settings.tagline,
        data=({"@type": "WebSite", "name": settings.title, "url": settings.address},),
        values={
            "uses": [
                (bike_table.title(use), urls.use(use), count) for use, count in counts.items()
            ],
            "guides": [
                (text.title, text.summary, urls.guide(text.slug)) for text in _guides(press)
            ],
            "pairs": len(pairs.all),
            "terms": len(press.content.terms),
            "bikes": len(press.table.bikes),
            "chart": press.chart(settings.currency, "price.range"),
        },
    )


def _guides(press: Press) -> list:
    return sorted(press.content.guides, key=lambda text: (text.order, text.slug))
