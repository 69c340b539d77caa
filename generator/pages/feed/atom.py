"""Atom feeds. RFC 4287, The Atom Syndication Format.

No time of day is known, so each date is given as midnight UTC. The clock is not read.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from xml.etree import ElementTree

from generator.pages.frame.renderer import Renderer

MOST_ENTRIES = 60
"""Most entries in a feed."""
NAMESPACE = "http://www.w3.org/2005/Atom"
NO_DATE = date(1970, 1, 1)
"""Date of a feed without entries, if the publication has no `updated`."""

_NO_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters that no XML document may have: XML 1.0, fifth edition, section 2.2."""


@dataclass(frozen=True)
class FeedHead:
    """The metadata of a feed."""

    id: str
    """Permanent absolute address, different from the id of every entry."""
    title: str
    subtitle: str
    path: str
    """Path of the feed from the site's root."""
    page: str
    """Path of the page that it belongs to."""


@dataclass(frozen=True)
class FeedEntry:
    """An entry of a feed."""

    id: str
    """Permanent address, unique in the feed."""
    link: str
    title: str
    day: date
    html: str


def build_feed(renderer: Renderer, head: FeedHead, entries: Iterable[FeedEntry]) -> bytes:
    """The XML document, with the `MOST_ENTRIES` newest entries; newest first, then by id."""
    found = sorted(entries, key=lambda entry: entry.id)
    found.sort(key=lambda entry: entry.day, reverse=True)
    settings = renderer.settings
    newest = found[0].day if found else settings.updated or NO_DATE
    ElementTree.register_namespace("", NAMESPACE)
    whole = ElementTree.Element(f"{{{NAMESPACE}}}feed", {"xml:lang": settings.language})
    _add_element(whole, "id", head.id)
    _add_element(whole, "title", head.title)
    _add_element(whole, "subtitle", head.subtitle)
    _add_element(whole, "updated", _format_time(newest))
    _add_element(_add_element(whole, "author"), "name", settings.title)
    own = renderer.address(head.path)
    _add_element(whole, "link", rel="self", type="application/atom+xml", href=own)
    _add_element(whole, "link", rel="alternate", type="text/html", href=renderer.address(head.page))
    if settings.licence:
        _add_element(whole, "rights", settings.licence)
    for entry in found[:MOST_ENTRIES]:
        one = _add_element(whole, "entry")
        _add_element(one, "id", entry.id)
        _add_element(one, "title", entry.title)
        _add_element(one, "updated", _format_time(entry.day))
        _add_element(one, "link", rel="alternate", type="text/html", href=entry.link)
        _add_element(one, "content", entry.html, type="html")
    ElementTree.indent(whole)
    document: bytes = ElementTree.tostring(whole, encoding="utf-8", xml_declaration=True)
    return document + b"\n"


def _format_time(day: date) -> str:
    """Midnight UTC of a day, as in RFC 3339."""
    return f"{day.isoformat()}T00:00:00Z"


def _add_element(
    parent: ElementTree.Element, name: str, text: str = "", **attributes: str
) -> ElementTree.Element:
    child = ElementTree.SubElement(parent, f"{{{NAMESPACE}}}{name}", attributes)
    child.text = _NO_XML.sub("", text) or None
    return child
