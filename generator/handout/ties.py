"""Disclosures of our ties to the makers and sellers of a handout's bikes, which come before everything else.

The sentences are those of the site.
"""

from collections.abc import Collection, Sequence

from generator.content.model import Content
from generator.content.money.read import RELATIONS, ShopLink
from generator.pages.notices import disclosure
from generator.specs.bike import Bike


def find_links(
    content: Content, bikes: Sequence[Bike], addresses: Collection[str] = ()
) -> tuple[ShopLink, ...]:
    """Links to shops that sell the bikes, and links of the content to these addresses; expired ones are left out."""
    slugs = {bike.slug for bike in bikes}
    return tuple(
        link
        for link in content.links
        if (link.bike in slugs or link.url in addresses)
        and not (link.expires and content.day and link.expires < content.day)
    )


def list_disclosures(
    content: Content, bikes: Sequence[Bike], links: Sequence[ShopLink]
) -> list[str]:
    """Sentences that disclose our ties by these links and bikes; empty if there are none."""
    relations = {link.relation for link in links if link.must_disclose}
    own = content.settings.disclosure
    lines = [own.get(each) or disclosure.SENTENCES[each] for each in RELATIONS if each in relations]
    lines += [
        f"{bike.full_name}: {words}"
        for bike in bikes
        if (words := disclosure.describe_bike_terms(bike))
    ]
    return [*lines, disclosure.ENDING] if lines else []


def format_link(link: ShopLink) -> str:
    """A link's address after its label, if it needs one."""
    return f"{disclosure.shop_text(link)}: {link.url}"
