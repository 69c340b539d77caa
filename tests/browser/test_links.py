"""Every link, picture, style and script of every page leads to something in the site."""

import posixpath
from functools import cache
from pathlib import Path
from urllib.parse import unquote, urlsplit
from xml.etree import ElementTree

from selectolax.lexbor import LexborHTMLParser

ADDRESSES = ("href", "src", "data", "poster")
SITEMAP = "{http://www.sitemaps.org/schemas/sitemap/0.9}"


@cache
def tree(path: Path) -> LexborHTMLParser:
    return LexborHTMLParser(path.read_text("utf-8"))


def links(path: Path) -> set[str]:
    return {
        value
        for name in ADDRESSES
        for node in tree(path).css(f"[{name}]")
        if (value := node.attributes.get(name)) is not None and node.tag != "data"
    }


@cache
def anchors(path: Path) -> frozenset[str]:
    return frozenset(node.attributes["id"] or "" for node in tree(path).css("[id]"))


def fault(site: Path, page: str, link: str) -> str | None:
    """What is wrong with an internal link, or None."""
    parts = urlsplit(link)
    if parts.scheme or parts.netloc:
        return None
    if parts.path.startswith("/"):
        return "leads to the root of the host"
    inside = posixpath.normpath(posixpath.join(posixpath.dirname(page), unquote(parts.path)))
    target = site / (inside if parts.path else page)
    if parts.path.endswith("/") or target.is_dir():
        return "leads to a folder, which is no page from disk"
    if inside.startswith("..") or not target.is_file():
        return "leads nowhere"
    if (
        parts.fragment
        and target.suffix == ".html"
        and unquote(parts.fragment) not in anchors(target)
    ):
        return "leads to no such place in the page"
    return None


def test_internal_links_resolve(site: Path, pages: list[str]) -> None:
    """From any folder, on any host and from disk."""
    checked = 0
    broken: dict[str, dict[str, str]] = {}
    for page in pages:
        for link in links(site / page):
            checked += 1
            if found := fault(site, page, link):
                broken.setdefault(page, {})[link] = found

    assert checked > 500
    assert not broken


def test_every_page_is_reached(site: Path, pages: list[str]) -> None:
    """Following links from the home page leads to every page but the one for lost readers."""
    seen, ahead = set(), ["index.html"]
    while ahead:
        page = ahead.pop()
        if page in seen or not page.endswith(".html"):
            continue
        seen.add(page)
        for link in links(site / page):
            parts = urlsplit(link)
            if not parts.scheme and not parts.netloc and parts.path:
                ahead.append(
                    posixpath.normpath(posixpath.join(posixpath.dirname(page), parts.path))
                )

    assert set(pages) - seen <= {"404.html"}


def test_links_out_are_safe(site: Path, pages: list[str]) -> None:
    """A link to another host is https, or http where the source has no other; never a script."""
    for page in pages:
        for link in links(site / page):
            assert urlsplit(link).scheme in ("", "http", "https", "mailto", "data"), (page, link)


def test_sitemap_lists_the_pages(site: Path, pages: list[str]) -> None:
    """Well-formed, absolute, one address for each page that stands in the site."""
    root = ElementTree.parse(site / "sitemap.xml").getroot()
    listed = [node.text or "" for node in root.iter(f"{SITEMAP}loc")]
    start = posixpath.commonprefix(listed)
    start = start[: start.rindex("/") + 1]
    files = {
        page if page.endswith(".html") else f"{page}index.html"
        for page in (unquote(address.removeprefix(start)) for address in listed)
    }

    assert all(urlsplit(address).scheme in ("http", "https") for address in listed)
    assert len(listed) == len(set(listed))
    assert files == set(pages) - {"404.html"}


def test_other_xml_is_well_formed(site: Path) -> None:
    """Feeds and pictures too."""
    found = [*site.rglob("*.xml"), *site.rglob("*.svg")]

    assert found
    for path in found:
        ElementTree.parse(path)
