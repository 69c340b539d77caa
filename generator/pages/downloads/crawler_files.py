"""Files for crawlers: the site map and the robots file.

A page has a `lastmod` only where its content has a date; the day of a build says nothing about a page. The protocol of
sitemaps.org allows 50,000 addresses in a file, and beyond that an index of files.
"""

from collections.abc import Iterable, Iterator
from datetime import date
from xml.sax.saxutils import escape

from generator.pages.bike import history as bike_history
from generator.pages.frame import urls
from generator.pages.frame.output import Output, PageSummary
from generator.pages.frame.renderer import Renderer

MOST_ADDRESSES = 50_000
"""Most addresses in one site map."""
_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
_SPACE = "http://www.sitemaps.org/schemas/sitemap/0.9"


def outputs(renderer: Renderer, rendered: Iterable[PageSummary]) -> Iterator[Output]:
    """Yield the site map and the robots file; `rendered` are all pages, of which the "not found" page is left out."""
    days = _find_days(renderer)
    pages = sorted(
        (renderer.address(page.path), days.get(page.path))
        for page in rendered
        if page.path != urls.NOT_FOUND
    )
    yield from make_site_maps(renderer.settings.address, pages)
    robots = f"User-agent: *\nAllow: /\nSitemap: {renderer.settings.address}sitemap.xml\n"
    yield Output("robots.txt", robots.encode())


def make_site_maps(
    address: str, pages: list[tuple[str, date | None]], most: int = MOST_ADDRESSES
) -> Iterator[Output]:
    """Yield `sitemap.xml` with all pages; if they are more than `most`, an index and the site maps that list them."""
    if len(pages) <= most:
        yield Output("sitemap.xml", _format_site_map("urlset", "url", pages))
        return
    parts = [pages[first : first + most] for first in range(0, len(pages), most)]
    index = []
    for number, part in enumerate(parts, 1):
        name = f"sitemap-{number}.xml"
        yield Output(name, _format_site_map("urlset", "url", part))
        index.append((address + name, max((day for _, day in part if day), default=None)))
    yield Output("sitemap.xml", _format_site_map("sitemapindex", "sitemap", index))


def _format_site_map(whole: str, each: str, entries: list[tuple[str, date | None]]) -> bytes:
    lines = []
    for address, day in entries:
        when = f"<lastmod>{day.isoformat()}</lastmod>" if day else ""
        lines.append(f"<{each}><loc>{escape(address)}</loc>{when}</{each}>\n")
    return f'{_HEAD}<{whole} xmlns="{_SPACE}">\n{"".join(lines)}</{whole}>\n'.encode()


def _find_days(renderer: Renderer) -> dict[str, date | None]:
    """Return the newest date of each page's content, by path."""
    texts = {urls.guide(text.slug): text.checked for text in renderer.content.guides}
    texts |= {urls.page(text.slug): text.checked for text in renderer.content.pages}
    bikes = {
        urls.bike(bike.slug): bike_history.find_newest_day(bike, renderer.content)
        for bike in renderer.table.bikes
    }
    last = renderer.whole_history.last
    return texts | bikes | {urls.CHANGES: last.day if last else None}
