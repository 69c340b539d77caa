"""The site's feed: dated changes of the publication, its bikes and its guides, and what moved between releases."""

import re
from collections.abc import Iterator
from datetime import date
from itertools import groupby
from urllib.parse import urljoin
from xml.sax.saxutils import escape

from generator.pages.bike import history as bike_history
from generator.pages.feed import atom, changes
from generator.pages.feed.atom import FeedEntry
from generator.pages.frame import urls
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.pages.notices import disclosure

_SECTION = re.compile(r'<h2 id="([^"]+)"[^>]*>(.*?)</h2>(.*?)(?=<h2 |\Z)', re.DOTALL)
_TAG = re.compile(r"<[^>]+>")
_LINK = re.compile(r'\b(href|src)="([^"]*)"')
_ISO_DATE = re.compile(r"\b(\d{4})-(\d\d)-(\d\d)\b")
_WRITTEN_DATE = re.compile(r"\b(\d\d?) ([A-Z][a-z]+) (\d{4})\b")
_MONTHS = [f"{date(2000, month, 1):%B}" for month in range(1, 13)]


def outputs(renderer: Renderer) -> Iterator[Output]:
    """The site's feed."""
    found = [
        *_list_changelog_entries(renderer),
        *_list_bike_entries(renderer),
        *_list_guide_entries(renderer),
        *changes.list_release_entries(renderer),
    ]
    settings = renderer.settings
    head = atom.FeedHead(settings.address, settings.title, settings.tagline, urls.FEED, urls.HOME)
    yield Output(urls.FEED, atom.build_feed(renderer, head, found))


def find_day(words: str) -> date | None:
    """The first date in a heading, written as `2026-11-25` or `25 November 2026`; None if there is none."""
    try:
        if found := _ISO_DATE.search(words):
            return date(int(found[1]), int(found[2]), int(found[3]))
        if (found := _WRITTEN_DATE.search(words)) and found[2] in _MONTHS:
            return date(int(found[3]), _MONTHS.index(found[2]) + 1, int(found[1]))
    except ValueError:  # the 31st of a short month
        return None
    return None


def _list_changelog_entries(renderer: Renderer) -> Iterator[FeedEntry]:
    """An entry for each section of the changelog whose heading has a date."""
    changelog = renderer.content.changelog
    if changelog is None:
        return
    page = renderer.address(urls.CHANGELOG)
    for place, heading, body in _SECTION.findall(renderer.prose(changelog, urls.CHANGELOG)):
        words = _TAG.sub("", heading)
        if day := find_day(words):
            whole = _LINK.sub(lambda link: f'{link[1]}="{urljoin(page, link[2])}"', body)
            whole = disclosure.insert_disclosure(
                disclosure.TOP + whole, renderer.settings.disclosure
            )
            where = f"{page}#{place}"
            yield FeedEntry(where, where, f"{changelog.title}: {words}", day, whole.strip())


def _list_bike_entries(renderer: Renderer) -> Iterator[FeedEntry]:
    """An entry for each bike and day with records."""
    for bike in renderer.table.bikes:
        page = renderer.address(urls.bike(bike.slug))
        records = bike_history.list_events(bike, renderer.content)
        for day, group in groupby(records, key=lambda one: one.day):
            own = list(group)
            kinds = ", ".join(dict.fromkeys(one.kind for one in own))
            items = "".join(f"<li>{escape(one.words)}</li>" for one in own)
            title = f"{bike.full_name}: {kinds}"
            yield FeedEntry(f"{page}#{day.isoformat()}", page, title, day, f"<ul>{items}</ul>")


def _list_guide_entries(renderer: Renderer) -> Iterator[FeedEntry]:
    for guide in renderer.content.guides:
        if guide.checked:
            page = renderer.address(urls.guide(guide.slug))
            words = f"<p>{escape(guide.summary)}</p>"
            yield FeedEntry(page, page, f"Guide checked: {guide.title}", guide.checked, words)
