"""Checks of prices and links against the bikes, each other and the calendar.

* find_money_problems    every contradiction between them
"""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from difflib import get_close_matches

from generator.content.model import Content
from generator.content.money.links import FILE as LINKS
from generator.content.money.prices import FILE as PRICES
from generator.content.money.read import PriceObservation, ShopLink
from generator.specs.bike import Bike
from generator.specs.checks.freshness import ReferenceDay
from generator.specs.problems import Problem, Severity
from generator.specs.yaml.located import quote_value

FAR = 4
"""Warn of a price this many times the list price, or this fraction of it; common practice, no source. [-]"""


def find_money_problems(
    bikes: Iterable[Bike], content: Content, today: ReferenceDay | None, files: Iterable[str] = ()
) -> list[Problem]:
    """Problems of prices and links, sorted.

    `files` are slugs of spec files that could not be read, which do not count as unknown bikes. `today` is the day by
    which dates are judged; without it, an offer or a link that expires is a problem.
    """
    known = {bike.slug: bike for bike in bikes}
    names = {*known, *files}
    links = {link.id: link for link in content.links}
    problems: list[Problem] = []
    for one in content.prices:
        problems += _check_price(one, known, names, links, today)
        problems += _find_odd_prices(one, known.get(one.bike), content.settings.currency)
    for link in content.links:
        problems += _check_link(link, names, today)
    problems += _find_ended_offers(content.prices, today)
    return sorted(problems)


def _check_price(
    one: PriceObservation,
    known: Mapping[str, Bike],
    names: set[str],
    links: Mapping[str, ShopLink],
    today: ReferenceDay | None,
) -> Iterator[Problem]:
    if one.bike not in names:
        yield _make_price_problem(
            one, "bike", f"there is no bike {quote_value(one.bike)}", _suggest_name(one.bike, names)
        )
    if today and one.day > today.latest:
        what = f"{one.day} has not come yet: {_describe_today(today)}"
        yield _make_price_problem(one, "date", what, "Check year and month")
    if not one.link:
        return
    link = links.get(one.link)
    if link is None:
        mend = _suggest_name(
            one.link, links, "Add it to content/links.yaml, or leave the cell empty"
        )
        yield _make_price_problem(one, "link", f"there is no link {quote_value(one.link)}", mend)
    elif link.bike not in ("", one.bike):
        what = f"the link {quote_value(one.link)} is about the bike {quote_value(link.bike)}"
        yield _make_price_problem(one, "link", what, "Name a link that leads to this one")
    elif link.seller != one.seller:
        what = f"the link {quote_value(one.link)} leads to {quote_value(link.seller)}, not to this seller"
        yield _make_price_problem(one, "link", what, "Write the seller's name alike in both files")


def _check_link(link: ShopLink, names: set[str], today: ReferenceDay | None) -> Iterator[Problem]:
    if link.bike and link.bike not in names:
        what = f"there is no bike {quote_value(link.bike)}"
        yield _make_link_problem(link, "bike", what, _suggest_name(link.bike, names))
    if today and link.seen and link.seen > today.latest:
        what = f"{link.seen} has not come yet: {_describe_today(today)}"
        yield _make_link_problem(link, "seen", what, "Check year and month")
    mend = "Look where it leads now: set a later day, or delete the link and what uses it"
    if wrong := _describe_end(f"the link {quote_value(link.id)}", link.expires, today, mend):
        yield _make_link_problem(link, "expires", *wrong)


_NO_DAY = (
    "nothing says which day it is, so nobody can tell whether this is over",
    "Set 'updated' in content/site.yaml to the day on which you went through the publication",
)


def _describe_end(
    what: str, day: date | None, today: ReferenceDay | None, mend: str
) -> tuple[str, str] | None:
    """That something is over, or may be, and what would be right; None when it is not over."""
    if day is None:
        return None
    if today is None:
        return _NO_DAY
    return (
        (f"{what} ended on {day}, and {_describe_today(today)}", mend) if day < today.on else None
    )


def _find_ended_offers(
    prices: Iterable[PriceObservation], today: ReferenceDay | None
) -> Iterator[Problem]:
    """Problems of offers that are over but are still their seller's newest price; older ones are history."""
    newest: dict[tuple[str, str, str], PriceObservation] = {}
    for one in prices:
        whose = (one.bike, one.seller, one.currency)
        if whose not in newest or newest[whose].day < one.day:
            newest[whose] = one
    for one in newest.values():
        mend = "Look the price up again and add a line with it; this one stays as history"
        if wrong := _describe_end(f"this offer of {one.seller}", one.expires, today, mend):
            yield _make_price_problem(one, "expires", *wrong)


def _find_odd_prices(one: PriceObservation, bike: Bike | None, currency: str) -> Iterator[Problem]:
    """Warnings of an amount far from the list price, or a currency that neither bike nor publication uses."""
    price = bike.price if bike else None
    if price and price.currency == one.currency and price.amount > 0:
        times = float(one.amount) / price.amount
        if not 1 / FAR <= times <= FAR:
            what = f"{one.amount} {one.currency} is far from the list price, {price.text}"
            yield _make_price_problem(
                one, "price", what, "Check the number and the bike", "warning"
            )
    if one.currency not in {currency, price.currency if price else currency}:
        what = f"the price is in {one.currency}, the publication's currency is {currency}"
        mend = "Leave it if the bike is sold so: prices are never converted"
        yield _make_price_problem(one, "currency", what, mend, "warning")


def _describe_today(today: ReferenceDay) -> str:
    if today.exact:
        return f"today is {today.on}"
    return f"the publication was last gone through on {today.on}"


def _suggest_name(
    word: str, known: Iterable[str], else_: str = "See bikes/ for those that exist"
) -> str:
    close = get_close_matches(word, list(known), n=1, cutoff=0.5)
    return f"Did you mean '{close[0]}'?" if close else else_


def _make_price_problem(
    one: PriceObservation, name: str, what: str, mend: str, severity: Severity = "error"
) -> Problem:
    return Problem(PRICES, one.line, one.column(name), what, mend, severity)


def _make_link_problem(link: ShopLink, key: str, what: str, mend: str) -> Problem:
    return Problem(LINKS, *link.place(key), what, mend)
