"""What ties us to those whose bikes a handout is about; it stands before everything else, and is said first.

The sentences are those of the site, so that readers and viewers are told the same.
"""

from collections.abc import Collection, Sequence

from generator.content.model import Content
from generator.content.money.read import RELATIONS, ShopLink
from generator.pages.frame import disclosure
from generator.specs.bike import Bike


def links_of(
    content: Content, bikes: Sequence[Bike], addresses: Collection[str] = ()
) -> tuple[ShopLink, ...]:
    """Links to where those bikes are sold, and those that a text has at these addresses; none that has run out."""
    slugs = {bike.slug for bike in bikes}
    return tuple(
        link
        for link in content.links
        if (link.bike in slugs or link.url in addresses)
        and not (link.expires and content.day and link.expires < content.day)
    )


def told(content: Content, bikes: Sequence[Bike], links: Sequence[ShopLink]) -> list[str]:
    """What readers must know before they follow a link or believe a word; empty when there is nothing to tell."""
    relations = {link.relation for link in links if link.due}
    own = content.settings.disclosure
    lines = [own.get(each) or disclosure.SENTENCES[each] for each in RELATIONS if each in relations]
    lines += [f"{bike.full_name}: {words}" for bike in bikes if (words := disclosure.of_bike(bike))]
    return [*lines, disclosure.ENDING] if lines else []


def link_line(link: ShopLink) -> str:
    """A link with its label, where one is due, before its address."""
    return f"{disclosure.shop_plain(link)}: {link.url}"
