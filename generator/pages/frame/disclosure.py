"""What readers are told where somebody gains by a link or had a bike on special terms.

* shop_html    a link to a seller, with its label where one is due
* disclosed    a finished page with the disclosure in its place, where a link on it wants one
* of_bike      on what terms we had a bike, in one sentence
* unmarked     what is wrong with such an address that stands as it is

A disclosure stands in the main text before the first such link, where nobody can miss it, and a label beside each link:
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
"""Short words beside a link, by relation."""
SENTENCES = {
    "affiliate": "If you buy through a link marked “we earn if you buy”, the seller pays us.",
    "paid": "Sellers have paid us to place the links marked “we were paid to place it”.",
    "gifted": "Sellers whose links say so have given us goods without asking for money.",
    "loaned": "Sellers whose links say so have lent us goods without asking for money.",
    "own": "A link marked “our own shop” leads to a shop of ours, or of one of us.",
}
"""The usual disclosure, where the publication has written none of its own."""
ENDING = "No figure, no order and no list on this site depends on that."

REL = "nofollow noopener"
REL_DUE = f"sponsored {REL}"

TOP, PLACE = "\ue002", "\ue003"
"""Where a page's disclosure goes: at the top of the main text, or where the page's own template wants it instead."""

_DUE = re.compile(r'<span class="shop" data-relation="([a-z]+)">')


def shop_html(link: ShopLink, words: str = "") -> Markup:
    """A link to a seller; `words` in place of its own."""
    words = words or link.words
    if not link.due:
        return Markup('<a href="{}" rel="{}">{}</a>').format(link.url, REL, words)
    return Markup(
        '<span class="shop" data-relation="{}"><a href="{}" rel="{}">{}</a> '
        '<span class="shop__label">({})</span></span>'
    ).format(link.relation, link.url, REL_DUE, words, LABELS[link.relation])


def shop_plain(link: ShopLink, words: str = "") -> str:
    """The same without a link, for headings and the like."""
    words = words or link.words
    return f"{words} ({LABELS[link.relation]})" if link.due else words


def disclosed(html: str, own: Mapping[str, str]) -> str:
    """A finished page with its disclosure where one is due, and without the marks of its place.

    `own` is what the publication says in place of `SENTENCES`.
    """
    found = set(_DUE.findall(html))
    if not found:
        return html.replace(TOP, "").replace(PLACE, "")
    mark = PLACE if PLACE in html else TOP
    html = html.replace(mark, str(block(found, own)), 1)
    return html.replace(TOP, "").replace(PLACE, "")


def block(relations: Iterable[str], own: Mapping[str, str]) -> Markup:
    """The disclosure of some relations."""
    told = [each for each in RELATIONS if each in set(relations)]
    sentences = " ".join(own.get(each) or SENTENCES[each] for each in told)
    return Markup(
        '<p class="disclosure" data-told="{}"><strong>Who pays.</strong> {} {}</p>'
    ).format(" ".join(told), sentences, ENDING)


def of_bike(bike: Bike) -> str:
    """On what terms we had a bike, where they were special; else empty."""
    return {
        "gifted": "We were given this bike by its maker or a seller.",
        "loaned": "Its maker or a seller lent us this bike.",
        "paid": "We were paid to ride this bike.",
    }.get(bike.ridden.relation or "", "")


def unmarked(link: ShopLink) -> tuple[str, str]:
    """What is wrong where the address of a link that is due stands as it is, and the mend."""
    what = (
        f"this address is that of the link '{link.id}' ({link.relation}) in content/links.yaml, and stands here"
        " without disclosure, label and rel"
    )
    return what, f'Write {{{{ shop("{link.id}") }}}} in its place'
