"""Atom feeds. RFC 4287, The Atom Syndication Format.

No time of day is known, so each date stands at midnight; and no clock is asked.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from xml.etree import ElementTree

from generator.pages.frame.renderer import Renderer

MOST = 60
"""Entries of a feed."""
NAMESPACE = "http://www.w3.org/2005/Atom"
NO_DATE = date(1970, 1, 1)
"""Of a feed without entries, in a publication that does not say when it was last gone through."""

_NO_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""XML 1.0, fifth edition, 2.2: signs that no document may hold."""


@dataclass(frozen=True)
class Head:
    """What a feed says of itself."""

    id: str
    """Absolute address that stays the same; unlike that of any entry."""
    title: str
    subtitle: str
    path: str
    """Of the feed itself, from the site's root."""
    page: str
    """Of the page that it goes with."""


@dataclass(frozen=True)
class Entry:
    id: str
    """Address that stays the same for as long as the thing does; unique in the feed."""
    link: str
    title: str
    day: date
    html: str


def feed(renderer: Renderer, head: Head, entries: Iterable[Entry]) -> bytes:
    """The document: newest first, of one day in the order of their ids, `MOST` entries at most."""
    found = sorted(entries, key=lambda entry: entry.id)
    found.sort(key=lambda entry: entry.day, reverse=True)
    settings = renderer.settings
    newest = found[0].day if found else settings.updated or NO_DATE
    ElementTree.register_namespace("", NAMESPACE)
    whole = ElementTree.Element(f"{{{NAMESPACE}}}feed", {"xml:lang": settings.language})
    _add(whole, "id", head.id)
    _add(whole, "title", head.title)
    _add(whole, "subtitle", head.subtitle)
    _add(whole, "updated", _time(newest))
    _add(_add(whole, "author"), "name", settings.title)
    own = renderer.address(head.path)
    _add(whole, "link", rel="self", type="application/atom+xml", href=own)
    _add(whole, "link", rel="alternate", type="text/html", href=renderer.address(head.page))
    if settings.licence:
        _add(whole, "rights", settings.licence)
    for entry in found[:MOST]:
        one = _add(whole, "entry")
        _add(one, "id", entry.id)
        _add(one, "title", entry.title)
        _add(one, "updated", _time(entry.day))
        _add(one, "link", rel="alternate", type="text/html", href=entry.link)
        _add(one, "content", entry.html, type="html")
    ElementTree.indent(whole)
    document: bytes = ElementTree.tostring(whole, encoding="utf-8", xml_declaration=True)
    return document + b"\n"


def _time(day: date) -> str:
    """RFC 3339, at midnight."""
    return f"{day.isoformat()}T00:00:00Z"


def _add(
    parent: ElementTree.Element, name: str, text: str = "", **attributes: str
) -> ElementTree.Element:
    child = ElementTree.SubElement(parent, f"{{{NAMESPACE}}}{name}", attributes)
    child.text = _NO_XML.sub("", text) or None
    return child
