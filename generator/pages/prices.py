"""Present and past prices: a page for each bike with a price or a link on record, and an overview."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from itertools import groupby

from markupsafe import Markup

from generator.charts.kinds import price_history as chart
from generator.content.model import Content
from generator.content.money.read import PriceObservation, ShopLink
from generator.figures.records.price_cuts import PriceCut, find_rule, format_price
from generator.figures.records.price_history import (
    ORDER_SENTENCE,
    PriceHistory,
    SellerPrices,
    build_price_history,
)
from generator.pages.frame import urls
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer
from generator.pages.lists import bike_table
from generator.pages.notices import disclosure
from generator.specs.bike import Bike

BIKES_ORDER = (
    "Bikes stand in the order of their list price, lowest first, one currency after the other."
)


@dataclass(frozen=True)
class PriceRow:
    """One seller's newest price."""

    seller: str
    amount: str
    tax: str
    seen: date
    """Day on which it was seen."""
    stale: bool
    cut: PriceCut
    link: Markup
    """Link to the seller; empty without one."""
    note: str
    until: date | None
    """Last day of the price, if known."""


@dataclass(frozen=True)
class ObservedPrices:
    """Observed prices of some bikes, in order of the bike, and the links that belong to them."""

    prices: tuple[PriceObservation, ...]
    links: tuple[ShopLink, ...]


class PriceBook:
    """Price histories and shop links of some bikes."""

    def __init__(self, renderer: Renderer, seen: ObservedPrices) -> None:
        self._renderer, self._observed = renderer, seen
        self.links = {link.id: link for link in seen.links}

    @cached_property
    def histories(self) -> dict[str, PriceHistory]:
        """By slug, of bikes with a price on record."""
        content, settings = self._renderer.content, self._renderer.settings
        return {
            slug: build_price_history(
                list(rows),
                region=settings.region,
                currency=settings.currency,
                today=content.day,
                stale_days=settings.stale_price_days,
            )
            for slug, rows in groupby(self._observed.prices, key=lambda one: one.bike)
        }

    def list_rows(self, slug: str) -> list[PriceRow]:
        """Return the newest price of a bike at each seller."""
        found = self.histories.get(slug)
        return [self._make_row(each) for each in found.sellers] if found else []

    def list_other_links(self, slug: str) -> list[Markup]:
        """Return the links of a bike that belong to none of its prices, in the order of their words."""
        used = {link.id for each in self._list_sellers(slug) if (link := self._find_link(each))}
        links = [each for each in self.links.values() if each.bike == slug and each.id not in used]
        return [disclosure.shop_html(link) for link in sorted(links, key=lambda one: one.words)]

    def _list_sellers(self, slug: str) -> tuple[SellerPrices, ...]:
        return self.histories[slug].sellers if slug in self.histories else ()

    def _find_link(self, each: SellerPrices) -> ShopLink | None:
        """The link of the newest price, else one to that seller about that bike."""
        newest = each.newest
        if newest.link:
            return self.links.get(newest.link)
        of_bike = (link for link in self.links.values() if link.bike == newest.bike)
        return next((link for link in of_bike if link.seller == newest.seller), None)

    def _make_row(self, each: SellerPrices) -> PriceRow:
        newest, link = each.newest, self._find_link(each)
        return PriceRow(
            newest.seller,
            format_price(newest.amount, newest),
            describe_tax(newest),
            newest.day,
            each.stale,
            each.cut,
            disclosure.shop_html(link) if link else Markup(""),
            newest.note,
            newest.expires,
        )


def plan_jobs(renderer: Renderer) -> Iterator[Job]:
    """Yield a job for the overview, then one for each bike with a price or a link; none where nothing is recorded."""
    bikes = _priced_bikes(renderer)
    if not bikes and not renderer.content.links:
        return
    yield Job(_make_overview)
    seen = _group_by_bike(renderer.content)
    for bike in bikes:
        yield Job(_make_bike, (bike.slug, seen[bike.slug]))


def _priced_bikes(renderer: Renderer) -> list[Bike]:
    ordered = bike_table.sort_bikes(renderer.table.bikes, renderer.settings.currency)
    return [bike for bike in ordered if bike.slug in renderer.content.priced_bikes]


def _group_by_bike(content: Content) -> dict[str, ObservedPrices]:
    """What belongs to each bike, wherever in its file it stands."""
    prices: dict[str, list[PriceObservation]] = defaultdict(list)
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
        slug: ObservedPrices(
            tuple(prices[slug]), tuple(links[place] for place in sorted(wanted[slug]))
        )
        for slug in content.priced_bikes
    }


def _make_overview(renderer: Renderer) -> Iterator[Output]:
    content = renderer.content
    price_book = PriceBook(renderer, ObservedPrices(content.prices, content.links))
    yield renderer.render_page(_overview_page(renderer, price_book, _priced_bikes(renderer)))


def _make_bike(renderer: Renderer, slug: str, seen: ObservedPrices) -> Iterator[Output]:
    for bike in renderer.bikes([slug]):
        yield renderer.render_page(_bike_page(renderer, PriceBook(renderer, seen), bike))


def _overview_page(renderer: Renderer, price_book: PriceBook, bikes: list[Bike]) -> Page:
    general = [link for link in price_book.links.values() if not link.bike]
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
                    price_book.list_rows(bike.slug),
                    price_book.list_other_links(bike.slug),
                )
                for bike in bikes
            ],
            "count": count,
            "general": [
                disclosure.shop_html(link) for link in sorted(general, key=lambda one: one.words)
            ],
            "order": f"{BIKES_ORDER} {ORDER_SENTENCE}",
            "rule": find_rule(renderer.settings.region),
        },
    )


def _bike_page(renderer: Renderer, price_book: PriceBook, bike: Bike) -> Page:
    path = urls.bike_prices(bike.slug)
    found = price_book.histories.get(bike.slug)
    return Page(
        path=path,
        template="bike_prices.html",
        title=f"Prices of the {bike.full_name}",
        description=f"What the {bike.full_name} cost at each seller when we looked, and the lowest on record.",
        above=(("Bikes", urls.BIKES), (bike.full_name, urls.bike(bike.slug))),
        values={
            "bike": bike,
            "terms": disclosure.describe_bike_terms(bike),
            "home": urls.link(path, urls.bike(bike.slug)),
            "lines": price_book.list_rows(bike.slug),
            "others": price_book.list_other_links(bike.slug),
            "lowest": _describe_lowest(found),
            "list_price": _describe_list_price(bike, found),
            "charts": list(_draw_charts(found, bike.slug)),
            "order": ORDER_SENTENCE,
            "rule": find_rule(renderer.settings.region),
        },
    )


def _draw_charts(found: PriceHistory | None, slug: str) -> Iterator[Markup]:
    """One for each currency."""
    sellers = found.sellers if found else ()
    for currency in dict.fromkeys(each.newest.currency for each in sellers):
        own = [each for each in sellers if each.newest.currency == currency]
        yield chart.figure_for(own, f"prices-{slug}-{currency.lower()}")


def _describe_lowest(found: PriceHistory | None) -> list[str]:
    """Sentences about the lowest prices on record."""
    return [
        f"The lowest price that we recorded, {describe_tax(one.at)}: {format_price(one.at.amount, one.at)} at {one.at.seller},"
        f" last seen on {one.at.day}; the lowest of {one.count} price{'' if one.count == 1 else 's'} since {one.since}."
        for one in (found.lowest if found else ())
    ]


def _describe_list_price(bike: Bike, found: PriceHistory | None) -> str:
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


def describe_tax(one: PriceObservation) -> str:
    return "with tax" if one.includes_tax else "without tax"
