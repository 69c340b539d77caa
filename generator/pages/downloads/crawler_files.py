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
from generator.pages.frame.renderer import Renderer

MOST = 50_000
"""Addresses of one site map."""
_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
_SPACE = "http://www.sitemaps.org/schemas/sitemap/0.9"


def outputs(renderer: Renderer) -> Iterator[Output]:
    """After all pages were printed: every one of them but the one for lost readers."""
    days = _days(renderer)
    pages = sorted(
        (renderer.address(page.path), days.get(page.path))
        for page in renderer.pages
        if page.path != urls.NOT_FOUND
    )
    yield from site_maps(renderer.settings.address, pages)
    robots = f"User-agent: *\nAllow: /\nSitemap: {renderer.settings.address}sitemap.xml\n"
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


def _days(renderer: Renderer) -> dict[str, date | None]:
    """Day of the newest dated thing on a page, by its path."""
    texts = {urls.guide(text.slug): text.checked for text in renderer.content.guides}
    texts |= {urls.page(text.slug): text.checked for text in renderer.content.pages}
    bikes = {
        urls.bike(bike.slug): bike_history.newest(bike, renderer.content)
        for bike in renderer.table.bikes
    }
    last = renderer.history.last
    return texts | bikes | {urls.CHANGES: last.day if last else None}
