"""The feed of changes, for those who would rather be told: dated changes of the publication, its bikes and its guides,
and what moved from one release to the next.
"""

import re
from collections.abc import Iterator
from datetime import date
from itertools import groupby
from urllib.parse import urljoin
from xml.sax.saxutils import escape

from generator.pages.bike import history as bike_history
from generator.pages.feed import atom, changes
from generator.pages.feed.atom import Entry
from generator.pages.frame import disclosure, urls
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer

_SECTION = re.compile(r'<h2 id="([^"]+)"[^>]*>(.*?)</h2>(.*?)(?=<h2 |\Z)', re.DOTALL)
_TAG = re.compile(r"<[^>]+>")
_LINK = re.compile(r'\b(href|src)="([^"]*)"')
_NUMBERED = re.compile(r"\b(\d{4})-(\d\d)-(\d\d)\b")
_NAMED = re.compile(r"\b(\d\d?) ([A-Z][a-z]+) (\d{4})\b")
_MONTHS = [f"{date(2000, month, 1):%B}" for month in range(1, 13)]


def outputs(renderer: Renderer) -> Iterator[Output]:
    """The feed: newest first, and of one day in the order of their ids."""
    found = [*_changes(renderer), *_bikes(renderer), *_guides(renderer), *changes.entries(renderer)]
    settings = renderer.settings
    head = atom.Head(settings.address, settings.title, settings.tagline, urls.FEED, urls.HOME)
    yield Output(urls.FEED, atom.feed(renderer, head, found))


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


def _changes(renderer: Renderer) -> Iterator[Entry]:
    """Each section of the changelog whose heading has a date."""
    changelog = renderer.content.changelog
    if changelog is None:
        return
    page = renderer.address(urls.CHANGELOG)
    for place, heading, body in _SECTION.findall(renderer.prose(changelog, urls.CHANGELOG)):
        words = _TAG.sub("", heading)
        if day := day_in(words):
            whole = _LINK.sub(lambda link: f'{link[1]}="{urljoin(page, link[2])}"', body)
            whole = disclosure.disclosed(disclosure.TOP + whole, renderer.settings.disclosure)
            where = f"{page}#{place}"
            yield Entry(where, where, f"{changelog.title}: {words}", day, whole.strip())


def _bikes(renderer: Renderer) -> Iterator[Entry]:
    """One for each bike and day on which something was recorded."""
    for bike in renderer.table.bikes:
        page = renderer.address(urls.bike(bike.slug))
        records = bike_history.records(bike, renderer.content)
        for day, group in groupby(records, key=lambda one: one.day):
            own = list(group)
            kinds = ", ".join(dict.fromkeys(one.kind for one in own))
            items = "".join(f"<li>{escape(one.words)}</li>" for one in own)
            title = f"{bike.full_name}: {kinds}"
            yield Entry(f"{page}#{day.isoformat()}", page, title, day, f"<ul>{items}</ul>")


def _guides(renderer: Renderer) -> Iterator[Entry]:
    for guide in renderer.content.guides:
        if guide.checked:
            page = renderer.address(urls.guide(guide.slug))
            words = f"<p>{escape(guide.summary)}</p>"
            yield Entry(page, page, f"Guide checked: {guide.title}", guide.checked, words)
