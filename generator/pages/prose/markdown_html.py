"""Markdown to safe HTML: rendered, then cleaned against an allow-list.

The list holds elements, attributes, ids, classes and link schemes; any other raw HTML in a text is
dropped, for scripts and styles with their content.
"""

import re
from collections.abc import Callable
from html import unescape

import markdown
import nh3

_ELEMENTS = frozenset({
    "a", "abbr", "b", "blockquote", "br", "caption", "cite", "code", "dd", "del", "details", "dfn",
    "div", "dl", "dt", "em", "figcaption", "figure", "h1", "h2", "h3", "h4", "h5", "h6", "hr", "i",
    "img", "ins", "kbd", "li", "ol", "p", "pre", "q", "s", "samp", "small", "strong", "sub",
    "summary", "sup", "table", "tbody", "td", "tfoot", "th", "thead", "tr", "ul", "var",
})  # fmt: skip
_ATTRIBUTES = {
    "*": {"id", "class", "lang", "dir"},
    "a": {"href", "title", "hreflang"},
    "abbr": {"title"},
    "img": {"src", "alt", "title", "width", "height"},
    "ol": {"start"},
    "td": {"colspan", "rowspan", "align"},
    "th": {"colspan", "rowspan", "align", "scope"},
}
_SCHEMES = frozenset({"http", "https", "mailto"})
_CLASSES = frozenset({"footnote", "footnote-ref", "footnote-backref", "aside", "caution"})
_OWN_ID = re.compile(r"(?:s|fn|fnref\d*)-[\w-]{1,80}")
HEADING_PREFIX = "s-"
"""Prefix of every heading's id, so that no text can take an id that a script or page relies on."""

_BLANK = re.compile(r"[\x00-\x20\x7f-\xa0\u2000-\u200f\u2028-\u202f\ufeff]+")
_SCHEME = re.compile(r"([a-z][a-z0-9+.-]*):")


def render_markdown(body: str, plain: Callable[[str], str]) -> str:
    """Cleaned HTML of a Markdown text.

    `plain` replaces the marks of live figures with plain text, for the ids of headings.

    Raises
    ------
    RecursionError
        When quotes or lists are nested too deeply.
    """
    converter = markdown.Markdown(
        extensions=["toc", "tables", "footnotes", "smarty", "sane_lists", "def_list", "abbr"],
        extension_configs={
            "toc": {
                "slugify": lambda words, separator: _make_heading_id(plain(words)),
                "marker": "",
            },
            "footnotes": {"SEPARATOR": "-", "BACKLINK_TITLE": "Back to footnote {} in the text"},
        },
        output_format="html",
    )
    return nh3.clean(
        converter.convert(body),
        tags=set(_ELEMENTS),
        attributes={element: set(names) for element, names in _ATTRIBUTES.items()},
        attribute_filter=_filter_attribute,
        url_schemes=set(_SCHEMES),
        link_rel=None,
    )


def explain_unsafe(address: str) -> str | None:
    """Why a link's address is not allowed, or None if it is.

    Browsers drop blanks and control characters within an address and read backslashes as slashes,
    so the address is normalized that way first.
    """
    address = _BLANK.sub("", unescape(address)).replace("\\", "/").lower()
    if address.startswith("//"):
        return "it leaves out the scheme"
    if address.startswith("/"):
        return "it begins at the host's root, where the site need not be"
    scheme = _SCHEME.match(address)
    if scheme and scheme[1] not in _SCHEMES:
        return f"the scheme {scheme[1]} is not allowed"
    return None


def is_external(address: str) -> bool:
    """Whether an address has a scheme, and so leads off the site."""
    return bool(_SCHEME.match(_BLANK.sub("", address).lower()))


def _filter_attribute(element: str, attribute: str, value: str) -> str | None:
    if attribute == "class":
        return " ".join(name for name in value.split() if name in _CLASSES) or None
    if attribute == "id":
        return value if _OWN_ID.fullmatch(value) else None
    if attribute == "href":
        return None if explain_unsafe(value) else value
    if attribute == "src":
        return None if explain_unsafe(value) or is_external(value) else value
    return value


def _make_heading_id(words: str) -> str:
    slug = re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")[:70]
    return HEADING_PREFIX + (slug or "part")
