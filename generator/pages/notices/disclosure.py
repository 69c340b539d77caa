"""Disclosures of links that earn money and of bikes that were had on special terms.

* shop_html                  a link to a seller, with its label where one is due
* shop_text                  the words of a link to a seller, without the link
* insert_disclosure          a finished page, with the disclosure where a link on it needs one
* disclosure_html            the disclosure of some relations
* describe_bike_terms        the terms on which we had a bike, in one sentence
* describe_undisclosed_link  the problem of a seller's address that is written out in a text

The disclosure comes in the main text before the first such link, where nobody can miss it, and a label beside each link:
16 CFR 255.0(f) and 255.5 (clear, conspicuous, unavoidable); Directive 2005/29/EC, Article 7(2) and Annex I, point 11; in
the United Kingdom the CAP Code, rules 2.1 and 2.3. `sponsored` is the search engines' common word for such links.
"""

import re
from collections.abc import Iterable, Mapping

from markupsafe import Markup

from generator.content.money.read import RELATIONS, ShopLink
from generator.specs.bike import Bike

LABELS = {
    "affiliate": "paid link: we earn if you buy",
    "paid": "paid link: we were paid to place it",
    "gifted": "this seller gave us goods",
    "loaned": "this seller lent us goods",
    "own": "our own shop: we earn if you buy",
}
"""Label beside a link, by relation."""
SENTENCES = {
    "affiliate": "If you buy through a link marked “we earn if you buy”, the seller pays us.",
    "paid": "Sellers have paid us to place the links marked “we were paid to place it”.",
    "gifted": "Sellers whose links say so have given us goods without asking for money.",
    "loaned": "Sellers whose links say so have lent us goods without asking for money.",
    "own": "A link marked “our own shop” leads to a shop of ours, or of one of us.",
}
"""Disclosure of each relation, where the publication has written none of its own."""
ENDING = "No figure, no order and no list on this site depends on that."

REL = "nofollow noopener"
REL_DUE = f"sponsored {REL}"

TOP, PLACE = "\ue002", "\ue003"
"""Marks of the places for a disclosure: the top of the main text, and the place that a template prefers, if it has one."""

_DUE = re.compile(r'<span class="shop" data-relation="([a-z]+)">')


def shop_html(link: ShopLink, words: str = "") -> Markup:
    """Return a link to a seller as HTML; `words` replace its own words."""
    words = words or link.words
    if not link.must_disclose:
        return Markup('<a href="{}" rel="{}">{}</a>').format(link.url, REL, words)
    return Markup(
        '<span class="shop" data-relation="{}"><a href="{}" rel="{}">{}</a> '
        '<span class="shop__label">({})</span></span>'
    ).format(link.relation, link.url, REL_DUE, words, LABELS[link.relation])


def shop_text(link: ShopLink, words: str = "") -> str:
    """Return the words and label of a link to a seller as plain text, for headings and the like."""
    words = words or link.words
    return f"{words} ({LABELS[link.relation]})" if link.must_disclose else words


def insert_disclosure(html: str, own: Mapping[str, str]) -> str:
    """Put the disclosure into a finished page where one is due, and remove the marks of its place.

    `own` holds the publication's own sentences, which replace those of `SENTENCES`.
    """
    found = set(_DUE.findall(html))
    if not found:
        return html.replace(TOP, "").replace(PLACE, "")
    mark = PLACE if PLACE in html else TOP
    html = html.replace(mark, str(disclosure_html(found, own)), 1)
    return html.replace(TOP, "").replace(PLACE, "")


def disclosure_html(relations: Iterable[str], own: Mapping[str, str]) -> Markup:
    """Return the disclosure of some relations as HTML."""
    due_relations = [each for each in RELATIONS if each in set(relations)]
    sentences = " ".join(own.get(each) or SENTENCES[each] for each in due_relations)
    return Markup(
        '<p class="disclosure" data-told="{}"><strong>Who pays.</strong> {} {}</p>'
    ).format(" ".join(due_relations), sentences, ENDING)


def describe_bike_terms(bike: Bike) -> str:
    """Say on what terms we had a bike; empty where they were not special."""
    return {
        "gifted": "We were given this bike by its maker or a seller.",
        "loaned": "Its maker or a seller lent us this bike.",
        "paid": "We were paid to ride this bike.",
    }.get(bike.ridden.relation or "", "")


def describe_undisclosed_link(link: ShopLink) -> tuple[str, str]:
    """Return what is wrong where a seller's address is written out without disclosure, and the mend."""
    what = (
        f"this address is that of the link '{link.id}' ({link.relation}) in content/links.yaml, and stands here"
        " without disclosure, label and rel"
    )
    return what, f'Write {{{{ shop("{link.id}") }}}} in its place'
