"""The head of every page and the files for crawlers and hosts: addresses, pictures, structured data, site map, policy, dates."""

import json
import re
from datetime import date
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from selectolax.lexbor import LexborHTMLParser

from generator.pages.downloads import crawler_files
from generator.pages.frame import head, policy, site_colours, structured_data
from generator.pages.frame.dates import format_date, format_dates_in_text
from tests.pages import site_example as example
from tests.pages.rendered import Site, words

ADDRESS = example.SETTINGS.address
LOST = "404.html"
MAPS = "{http://www.sitemaps.org/schemas/sitemap/0.9}"

NEEDED = {
    "BreadcrumbList": {"itemListElement"},
    "Product": {"name", "brand", "url", "image", "additionalProperty"},
    "ItemList": {"itemListElement"},
    "Article": {"headline", "description", "url", "image", "author", "publisher", "dateModified"},
    "DefinedTermSet": {"name", "url", "hasDefinedTerm"},
    "DefinedTerm": {"name", "description", "url", "inDefinedTermSet"},
    "Dataset": {"name", "description", "url", "license", "creator", "distribution"},
    "WebSite": {"name", "url"},
}
"""Required keys of each schema.org type; which of them search engines need is common practice, no source."""
NOT_SHOWN = ("@type", "@context", "url", "image", "item", "license", "unitCode", "position")
"""Keys whose values are addresses and codes, which a page need not show."""


def meta(tree: LexborHTMLParser) -> dict[str, str]:
    """Content of the meta elements by name or property; the last one counts."""
    return {
        node.attributes.get("property") or node.attributes["name"] or "": node.attributes["content"]
        or ""
        for node in tree.css("meta[property], meta[name]")
    }


def blocks(tree: LexborHTMLParser) -> list[dict[str, Any]]:
    return [json.loads(node.text()) for node in tree.css('script[type="application/ld+json"]')]


def whole(path: str) -> str:
    return ADDRESS + path.removesuffix("index.html")


def test_each_page_has_one_address(pages: dict[str, LexborHTMLParser]) -> None:
    """Each page names its own absolute address; "not found" has none, since a host shows it at many."""
    for path, tree in pages.items():
        canonical = [node.attributes["href"] for node in tree.css('link[rel="canonical"]')]

        assert canonical == ([] if path == LOST else [whole(path)]), path
        if path == LOST:
            assert meta(tree)["robots"] == "noindex"
            assert "og:url" not in meta(tree)
        else:
            assert meta(tree)["og:url"] == whole(path)
            assert "robots" not in meta(tree)


def test_what_stands_beside_a_link(site: Site, pages: dict[str, LexborHTMLParser]) -> None:
    """ogp.me: title, type, image and url are required; the image exists and has the stated size."""
    for path, tree in pages.items():
        if path == LOST:
            continue
        found = meta(tree)
        picture = found["og:image"].removeprefix(ADDRESS)

        assert found["og:title"], path
        assert found["og:type"] == ("article" if path == "guides/far/index.html" else "website")
        assert found["og:description"] == found["description"]
        assert found["og:site_name"] == example.SETTINGS.title
        assert found["og:locale"] == "en_GB"
        assert site[picture].startswith(b"\x89PNG")
        size = site[picture][16:24]
        assert int.from_bytes(size[:4]) == int(found["og:image:width"]) == 1200
        assert int.from_bytes(size[4:]) == int(found["og:image:height"]) == 630
        assert example.SETTINGS.notice in found["og:image:alt"]
        assert found["twitter:card"] == "summary_large_image"


def test_bikes_and_guides_have_pictures_of_their_own(pages: dict[str, LexborHTMLParser]) -> None:
    for path, picture in {
        "bikes/invor-beta/index.html": "pictures/bikes/invor-beta.png",
        "guides/far/index.html": "pictures/guides/far.png",
        "bikes/index.html": "pictures/site.png",
        "glossary/range/index.html": "pictures/site.png",
    }.items():
        assert meta(pages[path])["og:image"] == ADDRESS + picture


@pytest.mark.parametrize(
    ("language", "locale"),
    [("en-GB", "en_GB"), ("de-AT", "de_AT"), ("zh-Hant-TW", "zh_TW"), ("en", ""), ("es-419", "")],
)
def test_language_as_open_graph_writes_it(language: str, locale: str) -> None:
    """ogp.me: a locale has the form `language_TERRITORY`."""
    assert head.format_locale(language) == locale


def test_icon_feed_and_colours(site: Site, pages: dict[str, LexborHTMLParser]) -> None:
    """Each page links to an existing icon and feed, and gives theme colours for both schemes."""
    icon = site["assets/icon.svg"].decode()
    light, _ = site_colours.read_schemes(Path("nowhere"))

    assert ElementTree.fromstring(icon).tag.endswith("svg")
    assert set(re.findall(r"#[0-9a-f]{6}", icon)) == {
        light[role] for role in ("paper", "ink", "rubric")
    }
    for path, tree in pages.items():
        themes = {
            node.attributes["media"]: node.attributes["content"]
            for node in tree.css('meta[name="theme-color"]')
        }
        up = "../" * path.count("/")
        feed = tree.css_first('link[rel="alternate"][type="application/atom+xml"]')

        assert set(themes) == {f"(prefers-color-scheme: {scheme})" for scheme in ("light", "dark")}
        for colour in themes.values():
            assert f"--paper: {colour};" in site["assets/site.css"].decode()
        if path != LOST:
            assert tree.css_first('link[rel="icon"]').attributes["href"] == f"{up}assets/icon.svg"
            assert feed.attributes["href"] == f"{up}feed.xml"


def test_structured_data_has_what_it_needs(pages: dict[str, LexborHTMLParser]) -> None:
    """Each block parses, has a known type and all required keys of that type."""
    kinds = set()
    for path, tree in pages.items():
        for block in blocks(tree):
            kinds.add(block["@type"])
            assert block["@context"] == "https://schema.org", path
            missing = NEEDED[block["@type"]] - set(block)
            assert not missing, (path, block["@type"])
            for key in ("url", "image"):
                assert block.get(key, ADDRESS).startswith(ADDRESS), path

    assert kinds == set(NEEDED)


def claims(value: Any) -> list[str]:
    """All texts for readers in a block."""
    if isinstance(value, dict):
        shown = {key: each for key, each in value.items() if key not in NOT_SHOWN}
        if shown.get("name") == example.SETTINGS.title or value["@type"] == "DataDownload":
            return []
        return [text for each in shown.values() for text in claims(each)]
    if isinstance(value, list):
        return [text for each in value for text in claims(each)]
    return [str(value)]


def test_nothing_is_claimed_that_the_page_does_not_show(
    pages: dict[str, LexborHTMLParser],
) -> None:
    """Words, numbers and dates of the structured data are on the page, or in a `time` element."""
    checked = 0
    for path, tree in pages.items():
        text = words(tree).casefold()
        days = {node.attributes["datetime"] for node in tree.css("time")}
        for block in blocks(tree):
            for claim in claims(block):
                for part in claim.removeprefix(f"{example.SETTINGS.title}: ").split("\n"):
                    checked += 1
                    assert " ".join(part.split()).casefold() in text or part in days, (path, part)

    assert checked > 100


def test_units_have_their_codes(pages: dict[str, LexborHTMLParser]) -> None:
    """UN/ECE Recommendation 20: KMT kilometre, KGM kilogram, P1 per cent. Values from memory."""
    product = next(
        block for block in blocks(pages["bikes/invor-beta/index.html"]) if "brand" in block
    )
    found = {one["name"]: one for one in product["additionalProperty"]}

    assert found["Range on the loop"]["unitCode"] == "KMT"
    assert found["Mass"]["unitCode"] == "KGM"
    assert found["Steepest hill"]["unitCode"] == "P1"
    assert (found["Range on the loop"]["minValue"], found["Range on the loop"]["maxValue"]) == (
        "81",
        "99",
    )


def test_a_licence_is_named_by_its_address() -> None:
    files = [("text/csv", "https://book.example/a.csv")]
    known = structured_data.build_dataset(
        "n", "d", "a", "Text: CC BY 4.0. Data: CC0 1.0.", "b", files
    )
    other = structured_data.build_dataset("n", "d", "a", "Ask us.", "b", files)

    assert known["license"] == "https://creativecommons.org/publicdomain/zero/1.0/"
    assert other["license"] == {"@type": "CreativeWork", "name": "Ask us."}
    assert "license" not in structured_data.build_dataset("n", "d", "a", "", "b", files)


def located(xml: bytes) -> dict[str, str | None]:
    """Dates by address, of a site map or an index of site maps."""
    root = ElementTree.fromstring(xml)
    return {each.findtext(f"{MAPS}loc") or "": each.findtext(f"{MAPS}lastmod") for each in root}


def test_site_map_gives_a_day_where_there_is_one(
    site: Site, pages: dict[str, LexborHTMLParser]
) -> None:
    """sitemaps.org protocol. The date is that of a bike's newest record or of a guide's last check."""
    days = located(site["sitemap.xml"])

    assert set(days) == {whole(path) for path in pages if path != LOST}
    assert days[f"{ADDRESS}bikes/invor-beta/"] == "2026-10-05"
    assert days[f"{ADDRESS}bikes/invor-alpa/"] == "2026-10-04"
    assert days[f"{ADDRESS}bikes/invor-delta/"] is None
    assert days[f"{ADDRESS}guides/far/"] == "2026-11-01"
    assert days[ADDRESS] is None


def test_a_long_site_map_is_split() -> None:
    """sitemaps.org protocol: at most 50,000 addresses in a file, then an index of files."""
    pages = [(f"{ADDRESS}{number}/", date(2026, 1, number)) for number in range(1, 6)]
    files = {out.path: out.data for out in crawler_files.make_site_maps(ADDRESS, pages, most=2)}
    listed = [address for name in list(files)[:-1] for address in located(files[name])]

    assert crawler_files.MOST_ADDRESSES == 50_000
    assert list(files) == ["sitemap-1.xml", "sitemap-2.xml", "sitemap-3.xml", "sitemap.xml"]
    assert listed == [address for address, _ in pages]
    assert located(files["sitemap.xml"]) == {
        f"{ADDRESS}sitemap-1.xml": "2026-01-02",
        f"{ADDRESS}sitemap-2.xml": "2026-01-04",
        f"{ADDRESS}sitemap-3.xml": "2026-01-05",
    }
    assert b"<sitemapindex" in files["sitemap.xml"]


def test_page_and_header_have_one_policy(site: Site, pages: dict[str, LexborHTMLParser]) -> None:
    """The header has the same policy and forbids framing, which browsers obey in headers only.

    W3C, Content Security Policy Level 3: frame-ancestors is ignored in a meta element.
    """
    text = site["_headers"].decode()
    header = re.findall(r"^/\*\n(?:  .*\n)*?  Content-Security-Policy: (.*)$", text, re.MULTILINE)
    said = {
        node.attributes["content"]
        for tree in pages.values()
        for node in tree.css('meta[http-equiv="Content-Security-Policy"]')
    }

    assert said == {policy.IN_PAGE}
    assert header == [f"{policy.IN_PAGE}; frame-ancestors 'none'"]
    for name in ("X-Content-Type-Options: nosniff", "Referrer-Policy:", "Permissions-Policy:"):
        assert f"\n  {name}" in text
    assert "\n/assets/*\n  Cache-Control: public, max-age=" in text


def test_headers_are_written_as_hosts_read_them(site: Site) -> None:
    """Headers by path: a path at the start of a line, then its headers, indented, as `Name: value`."""
    for line in site["_headers"].decode().splitlines():
        assert re.fullmatch(r"/\S*|  [A-Z][A-Za-z-]+: \S.*", line), line


def test_every_server_is_told_the_same(site: Site) -> None:
    """nginx, `add_header`: a location inherits none once it has one of its own. Apache, mod_headers, `Header always set`."""
    blocks = re.split(r"^(?=/)", site["_headers"].decode(), flags=re.MULTILINE)[1:]
    wanted = {
        block.splitlines()[0]: dict(line.strip().split(": ", 1) for line in block.splitlines()[1:])
        for block in blocks
    }
    everywhere = wanted["/*"]
    nginx = site["headers/nginx.conf"].decode()
    apache = site["headers/apache.conf"].decode()
    inside = dict(re.findall(r"^location (\S+) \{\n((?:  .*\n)+)\}$", nginx, re.MULTILINE))
    around = nginx[: nginx.index("location ")]
    said = {"/": around, **inside}
    for path, headers in wanted.items():
        found = dict(re.findall(r'add_header (\S+) "([^"]*)" always;', said[path.rstrip("*")]))
        assert found == everywhere | headers, path
        of_path = re.search(rf'<LocationMatch "\^{path.rstrip("*")}">\n([^<]*)</', apache)
        assert of_path
        assert dict(re.findall(r'Header always set (\S+) "([^"]*)"', of_path[1])) == headers


def test_days_are_readable_by_people_and_machines(site: Site) -> None:
    """Every date on a page is in words within a `time` element, and both agree."""
    seen = 0
    for path, data in site.items():
        if not path.endswith(".html"):
            continue
        tree = LexborHTMLParser(data.decode())  # of its own: its days are taken out
        for node in tree.css("time"):
            seen += 1
            day = date.fromisoformat(node.attributes["datetime"] or "")
            assert node.text() == f"{day.day} {day:%B} {day.year}", path
            node.decompose()
        assert not re.findall(r"\b\d{4}-\d\d-\d\d\b", words(tree)), path
        assert not re.findall(r"\b\d\d? (?:October|November) 2026\b", words(tree)), path

    assert seen > 10
    assert (
        str(format_date(date(2026, 10, 4))) == '<time datetime="2026-10-04">4 October 2026</time>'
    )


def test_days_within_a_text() -> None:
    """Dates in the source of a figure become `time` elements; the rest stays plain text."""
    assert str(format_dates_in_text("A <b>sheet</b>, 2026-10-04; x2026-10-04, 2026-13-04")) == (
        "A &lt;b&gt;sheet&lt;/b&gt;, "
        '<time datetime="2026-10-04">4 October 2026</time>; x2026-10-04, 2026-13-04'
    )
