"""Files for machines: the site map and the robots file."""

from collections.abc import Iterable, Iterator
from xml.sax.saxutils import escape

from generator.pages.output import Output


def outputs(address: str, addresses: Iterable[str]) -> Iterator[Output]:
    """`address` is that of the site; `addresses` are those of the pages, absolute."""
    lines = "\n".join(f"<url><loc>{escape(one)}</loc></url>" for one in sorted(addresses))
    head = '<?xml version="1.0" encoding="UTF-8"?>\n'
    space = "http://www.sitemaps.org/schemas/sitemap/0.9"
    yield Output("sitemap.xml", f'{head}<urlset xmlns="{space}">\n{lines}\n</urlset>\n'.encode())
    yield Output("robots.txt", f"User-agent: *\nAllow: /\nSitemap: {address}sitemap.xml\n".encode())
