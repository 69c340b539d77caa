"""What bikes cost and cost before: a page for each bike with a price or a link on record, and one over all of them."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property, partial
from itertools import groupby

from markupsafe import Markup

from generator.charts.kinds import price_history as chart
from generator.content.model import Content
from generator.content.money.read import Observation, ShopLink
from generator.figures.records.price_cuts import Cut, money, rule_of
from generator.figures.records.price_history import ORDER, AtSeller, History, history
from generator.pages.frame import disclosure, urls
from generator.pages.frame.jobs import Job, seeing
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Page, Renderer
from generator.pages.lists import bike_table
from generator.specs.bike import Bike

BIKES_ORDER = (
    "Bikes stand in the order of their list price, lowest first, one currency after the other."
)


@dataclass(frozen=True)
class Line:
    """One seller's newest price."""

    seller: str
    amount: str
    tax: str
    seen: date
    stale: bool
    cut: Cut
    link: Markup
    """Empty without one."""
    note: str
    until: date | None


@dataclass(frozen=True)
class Seen:
    """Prices of some bikes as they were seen, by bike, and the links that belong to them."""

    prices: tuple[Observation, ...]
    links: tuple[ShopLink, ...]


class Ledger:
    """Prices and links, by bike."""

    def __init__(self, renderer: Renderer, seen: Seen) -> None:
        self._renderer, self._seen = renderer, seen
        self.links = {link.id: link for link in seen.links}

    @cached_property
    def histories(self) -> dict[str, History]:
        """By slug, of bikes with a price on record."""
        content, settings = self._renderer.content, self._renderer.settings
        return {
            slug: history(
                list(rows),
                region=settings.region,
                currency=settings.currency,
                today=content.day,
                stale_days=settings.stale_price_days,
            )
            for slug, rows in groupby(self._seen.prices, key=lambda one: one.bike)
        }

    def lines(self, slug: str) -> list[Line]:
        found = self.histories.get(slug)
        return [self._line(each) for each in found.sellers] if found else []

    def other_links(self, slug: str) -> list[Markup]:
        """Links of a bike that stand beside none of its prices, in the order of the words."""
        used = {link.id for each in self._sellers(slug) if (link := self._link_of(each))}
        links = [each for each in self.links.values() if each.bike == slug and each.id not in used]
        return [disclosure.shop_html(link) for link in sorted(links, key=lambda one: one.words)]

    def _sellers(self, slug: str) -> tuple[AtSeller, ...]:
        return self.histories[slug].sellers if slug in self.histories else ()

    def _link_of(self, each: AtSeller) -> ShopLink | None:
        """The link of the newest price, else one to that seller about that bike."""
        newest = each.newest
        if newest.link:
            return self.links.get(newest.link)
        of_bike = (link for link in self.links.values() if link.bike == newest.bike)
        return next((link for link in of_bike if link.seller == newest.seller), None)

    def _line(self, each: AtSeller) -> Line:
        newest, link = each.newest, self._link_of(each)
        return Line(
            newest.seller,
            money(newest.amount, newest),
            tax_words(newest),
            newest.day,
            each.stale,
            each.cut,
            disclosure.shop_html(link) if link else Markup(""),
            newest.note,
            newest.expires,
        )


def jobs(renderer: Renderer) -> Iterator[Job]:
    """One over all bikes with a price or a link, then one for each; nothing for a publication that records neither."""
    content = renderer.content
    ordered = bike_table.ordered(renderer.table.bikes, renderer.settings.currency)
    bikes = [bike for bike in ordered if bike.slug in content.priced]
    if not bikes and not content.links:
        return
    yield Job(partial(_over_all, renderer, bikes))
    seen = _by_bike(content)
    for bike in bikes:
        yield seeing(renderer, [bike], partial(_of_bike, bike, seen[bike.slug]), seen[bike.slug])


def _by_bike(content: Content) -> dict[str, Seen]:
    """What belongs to each bike, wherever in its file it stands."""
    prices: dict[str, list[Observation]] = defaultdict(list)
    for one in content.prices:
        prices[one.bike].append(replace(one, line=0, columns=()))
    links = [replace(link, places=()) for link in content.links]
    places_of = {link.id: place for place, link in enumerate(links)}
    wanted: dict[str, set[int]] = defaultdict(set)
    for link in links:
        wanted[link.bike].add(places_of[link.id])
    for one in content.prices:
        if one.link in places_of:
            wanted[one.bike].add(places_of[one.link])
    return {
        slug: Seen(tuple(prices[slug]), tuple(links[place] for place in sorted(wanted[slug])))
        for slug in content.priced
    }


def _over_all(renderer: Renderer, bikes: list[Bike]) -> Iterator[Output]:
    content = renderer.content
    yield renderer.render_page(
        _overview(renderer, Ledger(renderer, Seen(content.prices, content.links)), bikes)
    )


def _of_bike(bike: Bike, seen: Seen, renderer: Renderer) -> Iterator[Output]:
    yield renderer.render_page(_page(renderer, Ledger(renderer, seen), bike))


def _overview(renderer: Renderer, ledger: Ledger, bikes: list[Bike]) -> Page:
    general = [link for link in ledger.links.values() if not link.bike]
    count = len(renderer.content.prices)
    return Page(
        path=urls.PRICES,
        template="prices.html",
        title="Prices seen",
        description=f"What {len(bikes)} bikes cost at their sellers when we last looked.",
        above=(("Bikes", urls.BIKES),),
        values={
            "bikes": [
                (
                    bike,
                    urls.link(urls.PRICES, urls.bike_prices(bike.slug)),
                    ledger.lines(bike.slug),
                    ledger.other_links(bike.slug),
                )
                for bike in bikes
            ],
            "count": count,
            "general": [
                disclosure.shop_html(link) for link in sorted(general, key=lambda one: one.words)
            ],
            "order": f"{BIKES_ORDER} {ORDER}",
            "rule": rule_of(renderer.settings.region),
        },
    )


def _page(renderer: Renderer, ledger: Ledger, bike: Bike) -> Page:
    path = urls.bike_prices(bike.slug)
    found = ledger.histories.get(bike.slug)
    return Page(
        path=path,
        template="bike_prices.html",
        title=f"Prices of the {bike.full_name}",
        description=f"What the {bike.full_name} cost at each seller when we looked, and the lowest on record.",
        above=(("Bikes", urls.BIKES), (bike.full_name, urls.bike(bike.slug))),
        values={
            "bike": bike,
            "terms": disclosure.of_bike(bike),
            "home": urls.link(path, urls.bike(bike.slug)),
            "lines": ledger.lines(bike.slug),
            "others": ledger.other_links(bike.slug),
            "lowest": _lowest(found),
            "list_price": _list_price(bike, found),
            "charts": list(_charts(found, bike.slug)),
            "order": ORDER,
            "rule": rule_of(renderer.settings.region),
        },
    )


def _charts(found: History | None, slug: str) -> Iterator[Markup]:
    """One for each currency."""
    sellers = found.sellers if found else ()
    for currency in dict.fromkeys(each.newest.currency for each in sellers):
        own = [each for each in sellers if each.newest.currency == currency]
        yield chart.figure_for(own, f"prices-{slug}-{currency.lower()}")


def _lowest(found: History | None) -> list[str]:
    """Sentences about the lowest prices on record."""
    return [
        f"The lowest price that we recorded, {tax_words(one.at)}: {money(one.at.amount, one.at)} at {one.at.seller},"
        f" last seen on {one.at.day}; the lowest of {one.count} price{'' if one.count == 1 else 's'} since {one.since}."
        for one in (found.lowest if found else ())
    ]


def _list_price(bike: Bike, found: History | None) -> str:
    """What the spec file says, and whether newer prices stand here."""
    price = bike.price
    if price is None:
        return "No list price is known."
    tax = {True: ", with tax", False: ", without tax"}.get(price.includes_tax or False, "")
    tax = "" if price.includes_tax is None else tax
    words = f"List price: {price.text}{tax}, seen on {price.date}."
    if found and found.newest and found.newest > price.date:
        words += (
            " Prices above are newer. Everywhere else on this site the price is the list price."
        )
    return words


def tax_words(one: Observation) -> str:
    return "with tax" if one.includes_tax else "without tax"
