"""The home page, the list of all bikes, and a page for each use."""

from collections.abc import Iterator

from generator.pages import jsonld, places, shelf
from generator.pages.output import Output
from generator.pages.pairs import Pairs
from generator.pages.press import Press, Sheet, name_of


def outputs(press: Press, pairs: Pairs) -> Iterator[Output]:
    by_use = shelf.by_use(press)
    yield press.printed(_home(press, pairs, {use: len(bikes) for use, bikes in by_use.items()}))
    yield press.printed(_bikes(press))
    for use in by_use:
        yield press.printed(_use(press, pairs, use))


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
            "figures": len(press.table.kinds),
        },
    )


def _guides(press: Press) -> list:
    return sorted(press.content.guides, key=lambda text: (text.order, text.slug))


def _bikes(press: Press) -> Sheet:
    path = places.BIKES
    shelves = [shelf.shelf(press, use, bikes, path) for use, bikes in shelf.by_use(press).items()]
    listed = dict.fromkeys(row.href for one in shelves for row in one.rows)
    addresses = [press.address(path.replace("index.html", href)) for href in listed]
    return Sheet(
        path=path,
        template="bikes.html",
        title="Bikes",
        description=f"All {len(press.table.bikes)} bikes by use, with their main figures.",
        data=(jsonld.item_list(addresses),),
        values={"shelves": shelves, "order": shelf.ORDER, "count": len(press.table.bikes)},
    )


def _use(press: Press, pairs: Pairs, use: str) -> Sheet:
    path = places.use(use)
    bikes = shelf.by_use(press)[use]
    own = {bike.slug for bike in bikes}
    return Sheet(
        path=path,
        template="use.html",
        title=shelf.title(use),
        description=f"Electric bicycles {shelf.title(use).lower()}: {len(bikes)} side by side.",
        above=(("Bikes", places.BIKES),),
        data=(jsonld.item_list([press.address(places.bike(bike.slug)) for bike in bikes]),),
        values={
            "shelf": shelf.shelf(press, use, bikes, path),
            "order": shelf.ORDER,
            "pairs": [
                (
                    name_of(one),
                    name_of(other),
                    places.link(path, places.comparison(one.slug, other.slug)),
                )
                for one, other in pairs.all
                if one.slug in own and other.slug in own
            ],
        },
    )
