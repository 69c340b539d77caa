"""The home page."""

from collections.abc import Iterator

from generator.pages import places, shelf
from generator.pages.output import Output
from generator.pages.pairs import Pairs
from generator.pages.press import Press, Sheet


def outputs(press: Press, pairs: Pairs) -> Iterator[Output]:
    by_use = shelf.by_use(press)
    yield press.printed(_home(press, pairs, {use: len(bikes) for use, bikes in by_use.items()}))


def _home(press: Press, pairs: Pairs, counts: dict[str, int]) -> Sheet:
    settings = press.settings
    return Sheet(
        path=places.HOME,
        template="home.html",
        title=settings.title,
        description=settings.tagline,
        data=({"@type": "WebSite", "name": settings.title, "url": settings.address},),
        values={
            "uses": [(shelf.title(use), places.use(use), count) for use, count in counts.items()],
            "guides": [
                (text.title, text.summary, places.guide(text.slug)) for text in _guides(press)
            ],
            "pairs": len(pairs.all),
            "terms": len(press.content.terms),
            "bikes": len(press.table.bikes),
            "chart": press.chart(settings.currency, "price.range"),
        },
    )


def _guides(press: Press) -> list:
    return sorted(press.content.guides, key=lambda text: (text.order, text.slug))
