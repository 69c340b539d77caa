"""The feed of changes, for those who would rather be told: dated changes of the publication, its bikes and its guides.

RFC 4287, The Atom Syndication Format. No time of day is known, so each date stands at midnight; and no clock is asked.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from urllib.parse import urljoin
from xml.etree import ElementTree
from xml.sax.saxutils import escape

from generator.pages import dated, places
from generator.pages.output import Output
from generator.pages.press import Press

MOST = 60
"""Entries of the feed."""
NAMESPACE = "http://www.w3.org/2005/Atom"
NO_DATE = date(1970, 1, 1)
"""Of a feed without entries, in a publication that does not say when it was last gone through."""

_SECTION = re.compile(r'<h2 id="([^"]+)"[^>]*>(.*?)</h2>(.*?)(?=<h2 |\Z)', re.DOTALL)
_TAG = re.compile(r"<[^>]+>")
_LINK = re.compile(r'\b(href|src)="([^"]*)"')
_NUMBERED = re.compile(r"\b(\d{4})-(\d\d)-(\d\d)\b")
_NAMED = re.compile(r"\b(\d\d?) ([A-Z][a-z]+) (\d{4})\b")
_MONTHS = [f"{date(2000, month, 1):%B}" for month in range(1, 13)]
_NO_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""XML 1.0, fifth edition, 2.2: signs that no document may hold."""


@dataclass(frozen=True)
class Entry:
    id: str
    """Address that stays the same for as long as the thing does; unique in the feed."""
    link: str
    title: str
    day: date
    html: str


def outputs(press: Press) -> Iterator[Output]:
    """The feed: newest first, and of one day in the order of their ids."""
    found = [*_changes(press), *_bikes(press), *_guides(press)]
    found.sort(key=lambda entry: entry.id)
    found.sort(key=lambda entry: entry.day, reverse=True)
    yield Output(places.FEED, _atom(press, found[:MOST]))


def day_in(words: str) -> date | None:
    """The first date in a heading, as `2026-11-25` or as `25 November 2026`."""
    try:
        if found := _NUMBERED.search(words):
            return date(int(found[1]), int(found[2]), int(found[3]))
        if (found := _NAMED.search(words)) and found[2] in _MONTHS:
            return date(int(found[3]), _MONTHS.index(found[2]) + 1, int(found[1]))
    except ValueError:  # the 31st of a short month
        return None
    return None


def _changes(press: Press) -> Iterator[Entry]:
    """Each section of the changelog whose heading has a date."""
    changelog = press.content.changelog
    if changelog is None:
        return
    page = press.address(places.CHANGELOG)
    for place, heading, body in _SECTION.findall(press.prose(changelog, places.CHANGELOG)):
        words = _TAG.sub("", heading)
        if day := day_in(words):
            whole = _LINK.sub(lambda link: f'{link[1]}="{urljoin(page, link[2])}"', body)
            where = f"{page}#{place}"
            yield Entry(where, where, f"{changelog.title}: {words}", day, whole.strip())


def _bikes(press: Press) -> Iterator[Entry]:
    """One for each bike and day on which something was recorded."""
    for bike in press.table.bikes:
        page = press.address(places.bike(bike.slug))
        records = dated.records(bike, press.content)
        for day, group in groupby(records, key=lambda one: one.day):
            own = list(group)
            kinds = ", ".join(dict.fromkeys(one.kind for one in own))
            items = "".join(f"<li>{escape(one.words)}</li>" for one in own)
            title = f"{bike.full_name}: {kinds}"
            yield Entry(f"{page}#{day.isoformat()}", page, title, day, f"<ul>{items}</ul>")


def _guides(press: Press) -> Iterator[Entry]:
    for guide in press.content.guides:
        if guide.checked:
            page = press.address(places.guide(guide.slug))
            words = f"<p>{escape(guide.summary)}</p>"
            yield Entry(page, page, f"Guide checked: {guide.title}", guide.checked, words)


def _atom(press: Press, entries: list[Entry]) -> bytes:
    settings = press.settings
    newest = entries[0].day if entries else settings.updated or NO_DATE
    ElementTree.register_namespace("", NAMESPACE)
    feed = ElementTree.Element(f"{{{NAMESPACE}}}feed", {"xml:lang": settings.language})
    _add(feed, "id", settings.address)
    _add(feed, "title", settings.title)
    _add(feed, "subtitle", settings.tagline)
    _add(feed, "updated", _time(newest))
    _add(_add(feed, "author"), "name", settings.title)
    own = press.address(places.FEED)
    _add(feed, "link", rel="self", type="application/atom+xml", href=own)
    _add(feed, "link", rel="alternate", type="text/html", href=settings.address)
    if settings.licence:
        _add(feed, "rights", settings.licence)
    for entry in entries:
        one = _add(feed, "entry")
        _add(one, "id", entry.id)
        _add(one, "title", entry.title)
        _add(one, "updated", _time(entry.day))
        _add(one, "link", rel="alternate", type="text/html", href=entry.link)
        _add(one, "content", entry.html, type="html")
    ElementTree.indent(feed)
    document: bytes = ElementTree.tostring(feed, encoding="utf-8", xml_declaration=True)
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
