"""Prices and links beside the bikes, each other and the calendar.

* money_problems    everything that does not fit together
"""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from difflib import get_close_matches

from generator.content.model import Content
from generator.content.money.links import FILE as LINKS
from generator.content.money.prices import FILE as PRICES
from generator.content.money.read import Observation, ShopLink
from generator.specs.bike import Bike
from generator.specs.checks.freshness import Day
from generator.specs.problems import Problem, Severity
from generator.specs.yaml.located import shown

FAR = 4
"""A price this many times the list price, or this part of it, is looked at again; common practice, no source."""


def money_problems(
    bikes: Iterable[Bike], content: Content, today: Day | None, files: Iterable[str] = ()
) -> list[Problem]:
    """Problems of prices and links, sorted.

    `files` are slugs of spec files that could not be read: they are no unknown bikes. `today` is the day to judge
    by; an offer or a link with an end cannot be judged without one, and that is a problem too.
    """
    known = {bike.slug: bike for bike in bikes}
    names = {*known, *files}
    links = {link.id: link for link in content.links}
    problems: list[Problem] = []
    for one in content.prices:
        problems += _of_price(one, known, names, links, today)
        problems += _odd(one, known.get(one.bike), content.settings.currency)
    for link in content.links:
        problems += _of_link(link, names, today)
    problems += _ended_offers(content.prices, today)
    return sorted(problems)


def _of_price(
    one: Observation,
    known: Mapping[str, Bike],
    names: set[str],
    links: Mapping[str, ShopLink],
    today: Day | None,
) -> Iterator[Problem]:
    if one.bike not in names:
        yield _price(one, "bike", f"there is no bike {shown(one.bike)}", _nearest(one.bike, names))
    if today and one.day > today.latest:
        what = f"{one.day} has not come yet: {_is(today)}"
        yield _price(one, "date", what, "Check year and month")
    if not one.link:
        return
    link = links.get(one.link)
    if link is None:
        mend = _nearest(one.link, links, "Add it to content/links.yaml, or leave the cell empty")
        yield _price(one, "link", f"there is no link {shown(one.link)}", mend)
    elif link.bike not in ("", one.bike):
        what = f"the link {shown(one.link)} is about the bike {shown(link.bike)}"
        yield _price(one, "link", what, "Name a link that leads to this one")
    elif link.seller != one.seller:
        what = f"the link {shown(one.link)} leads to {shown(link.seller)}, not to this seller"
        yield _price(one, "link", what, "Write the seller's name alike in both files")


def _of_link(link: ShopLink, names: set[str], today: Day | None) -> Iterator[Problem]:
    if link.bike and link.bike not in names:
        what = f"there is no bike {shown(link.bike)}"
        yield _link(link, "bike", what, _nearest(link.bike, names))
    if today and link.seen and link.seen > today.latest:
        what = f"{link.seen} has not come yet: {_is(today)}"
        yield _link(link, "seen", what, "Check year and month")
    mend = "Look where it leads now: set a later day, or delete the link and what uses it"
    if wrong := _ended(f"the link {shown(link.id)}", link.expires, today, mend):
        yield _link(link, "expires", *wrong)


_NO_DAY = (
    "nothing says which day it is, so nobody can tell whether this is over",
    "Set 'updated' in content/site.yaml to the day on which you went through the publication",
)


def _ended(what: str, day: date | None, today: Day | None, mend: str) -> tuple[str, str] | None:
    """That something is over, or may be, in words, with the mend; None when it is not."""
    if day is None:
        return None
    if today is None:
        return _NO_DAY
    return (f"{what} ended on {day}, and {_is(today)}", mend) if day < today.on else None


def _ended_offers(prices: Iterable[Observation], today: Day | None) -> Iterator[Problem]:
    """Offers that are over and are still the newest that is known of their seller; older ones are history."""
    newest: dict[tuple[str, str, str], Observation] = {}
    for one in prices:
        whose = (one.bike, one.seller, one.currency)
        if whose not in newest or newest[whose].day < one.day:
            newest[whose] = one
    for one in newest.values():
        mend = "Look the price up again and add a line with it; this one stays as history"
        if wrong := _ended(f"this offer of {one.seller}", one.expires, today, mend):
            yield _price(one, "expires", *wrong)


def _odd(one: Observation, bike: Bike | None, currency: str) -> Iterator[Problem]:
    """Warnings: an amount far from the list price, or a currency that neither bike nor publication has."""
    price = bike.price if bike else None
    if price and price.currency == one.currency and price.amount > 0:
        times = float(one.amount) / price.amount
        if not 1 / FAR <= times <= FAR:
            what = f"{one.amount} {one.currency} is far from the list price, {price.text}"
            yield _price(one, "price", what, "Check the number and the bike", "warning")
    if one.currency not in {currency, price.currency if price else currency}:
        what = f"the price is in {one.currency}, the publication's currency is {currency}"
        mend = "Leave it if the bike is sold so: prices are never converted"
        yield _price(one, "currency", what, mend, "warning")


def _is(today: Day) -> str:
    if today.exact:
        return f"today is {today.on}"
    return f"the publication was last gone through on {today.on}"


def _nearest(
    word: str, known: Iterable[str], else_: str = "See bikes/ for those that exist"
) -> str:
    close = get_close_matches(word, list(known), n=1, cutoff=0.5)
    return f"Did you mean '{close[0]}'?" if close else else_


def _price(
    one: Observation, name: str, what: str, mend: str, severity: Severity = "error"
) -> Problem:
    return Problem(PRICES, one.line, one.column(name), what, mend, severity)


def _link(link: ShopLink, key: str, what: str, mend: str) -> Problem:
    return Problem(LINKS, *link.place(key), what, mend)
