"""Files for machines: the site map and the robots file.

A page has a `lastmod` only where its content has a date; a build's own day says nothing about a page. Site maps: the
protocol of sitemaps.org, which allows 50,000 addresses a file, and an index of files beyond.
"""

from collections.abc import Iterator
from datetime import date
from xml.sax.saxutils import escape

from generator.pages.bike import history as bike_history
from generator.pages.frame import urls
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Press

MOST = 50_000
"""Addresses of one site map."""
_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
_SPACE = "http://www.sitemaps.org/schemas/sitemap/0.9"


def outputs(press: Press) -> Iterator[Output]:
    """After all pages were printed: every one of them but the one for lost readers."""
    days = _days(press)
    pages = sorted(
        (press.address(sheet.path), days.get(sheet.path))
        for sheet in press.sheets
        if sheet.path != urls.NOT_FOUND
    )
    yield from site_maps(press.settings.address, pages)
    robots = f"User-agent: *\nAllow: /\nSitemap: {press.settings.address}sitemap.xml\n"
    yield Output("robots.txt", robots.encode())


def site_maps(
    address: str, pages: list[tuple[str, date | None]], most: int = MOST
) -> Iterator[Output]:
    """`sitemap.xml`: of all pages, or where they are more than `most`, of the maps that list them."""
    if len(pages) <= most:
        yield Output("sitemap.xml", _map("urlset", "url", pages))
        return
    parts = [pages[first : first + most] for first in range(0, len(pages), most)]
    index = []
    for number, part in enumerate(parts, 1):
        name = f"sitemap-{number}.xml"
        yield Output(name, _map("urlset", "url", part))
        index.append((address + name, max((day for _, day in part if day), default=None)))
    yield Output("sitemap.xml", _map("sitemapindex", "sitemap", index))


def _map(whole: str, each: str, entries: list[tuple[str, date | None]]) -> bytes:
    lines = []
    for address, day in entries:
        when = f"<lastmod>{day.isoformat()}</lastmod>" if day else ""
        lines.append(f"<{each}><loc>{escape(address)}</loc>{when}</{each}>\n")
    return f'{_HEAD}<{whole} xmlns="{_SPACE}">\n{"".join(lines)}</{whole}>\n'.encode()


def _days(press: Press) -> dict[str, date | None]:
    """Day of the newest dated thing on a page, by its path."""
    texts = {urls.guide(text.slug): text.checked for text in press.content.guides}
    texts |= {urls.page(text.slug): text.checked for text in press.content.pages}
    bikes = {
        urls.bike(bike.slug): bike_history.newest(bike, press.content) for bike in press.table.bikes
    }
    last = press.history.last
    return texts | bikes | {urls.CHANGES: last.day if last else None}
