"""The site as a reader and a browser meet it, on a small invented publication."""

import json
import posixpath
from dataclasses import replace
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from selectolax.lexbor import LexborHTMLParser

from generator.specs.problems import ProblemsFound
from tests.pages import site_example as example
from tests.pages.rendered import Site, built, words

POLICY = {
    "default-src 'none'",
    "img-src 'self' data:",
    "style-src 'self'",
    "script-src 'self'",
    "connect-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
}


def test_every_kind_of_page_is_there(site: Site) -> None:
    """One path for each kind of page; a pair is named in alphabetical order."""
    assert {
        "index.html",
        "bikes/index.html",
        "bikes/invor-beta/index.html",
        "claims/index.html",
        "law/index.html",
        "report-card/index.html",
        "compare/index.html",
        "compare/invor-alpa-vs-invor-beta/index.html",
        "uses/city/index.html",
        "guides/index.html",
        "guides/far/index.html",
        "glossary/index.html",
        "glossary/range/index.html",
        "method/index.html",
        "about/index.html",
        "cautions/index.html",
        "testing/index.html",
        "changelog/index.html",
        "data/index.html",
        "404.html",
        "sitemap.xml",
        "robots.txt",
        "assets/site.css",
        "assets/site.js",
    } <= set(site)


def test_head_of_every_page(pages: dict[str, LexborHTMLParser]) -> None:
    """Language, title, description, one heading of the first order, and the strict policy."""
    for path, tree in pages.items():
        policy = tree.css_first('meta[http-equiv="Content-Security-Policy"]')
        description = tree.css_first('meta[name="description"]')

        assert tree.css_first("html").attributes["lang"] == "en-GB", path
        assert tree.css_first("title").text().strip(), path
        assert description.attributes["content"], path
        assert len(tree.css("h1")) == 1, path
        assert set((policy.attributes["content"] or "").split("; ")) == POLICY, path


def test_the_notice_stands_on_every_page(pages: dict[str, LexborHTMLParser]) -> None:
    """Every page of a demo is marked as one."""
    assert not [path for path, tree in pages.items() if example.SETTINGS.notice not in words(tree)]


def test_nothing_inline_and_nothing_from_elsewhere(pages: dict[str, LexborHTMLParser]) -> None:
    """No style, no script and no event in the page; nothing is fetched from another host."""
    for path, tree in pages.items():
        scripts = [node for node in tree.css("script") if "src" not in node.attributes]
        fetched = tree.css("script[src], link[rel=stylesheet], img, iframe, source")

        assert all(node.attributes["type"] == "application/ld+json" for node in scripts), path
        assert not tree.css("style, [style]"), path
        assert not [
            name for node in tree.css("*") for name in node.attributes if name.startswith("on")
        ], path
        for node in fetched:
            address = node.attributes.get("src") or node.attributes.get("href") or ""
            assert not urlsplit(address).netloc, path


def test_links_lead_to_files_and_places(site: Site, pages: dict[str, LexborHTMLParser]) -> None:
    """Every relative link names a file of the site, and a fragment an element of it."""
    checked = 0
    for path, tree in pages.items():
        for node in tree.css("a[href]"):
            parts = urlsplit(node.attributes["href"] or "")
            if parts.scheme:
                continue
            inside = posixpath.normpath(
                posixpath.join(posixpath.dirname(path), unquote(parts.path))
            )
            target = inside if parts.path else path
            checked += 1
            assert target in site, (path, node.attributes["href"])
            if parts.fragment:
                assert pages[target].css_first(f'[id="{unquote(parts.fragment)}"]'), (
                    path,
                    node.attributes["href"],
                )

    assert checked > 200


def test_ids_are_unique(pages: dict[str, LexborHTMLParser]) -> None:
    for path, tree in pages.items():
        ids = [node.attributes["id"] for node in tree.css("[id]")]

        assert len(ids) == len(set(ids)), path


def test_wide_tables_can_be_scrolled_by_keyboard(pages: dict[str, LexborHTMLParser]) -> None:
    """WCAG 2.2, 1.4.10 and 2.1.1: a table scrolls in a labelled region that takes the focus, or turns into blocks."""
    tables = [(path, node) for path, tree in pages.items() for node in tree.css("main table")]
    stacked = [node for _, node in tables if node.attributes.get("class") == "sides"]

    assert tables
    assert all(node.css_first("caption") for node in stacked)
    for path, node in tables:
        if node in stacked:
            continue
        box = node.parent
        assert box
        assert box.attributes.get("role") == "region", path
        assert box.attributes.get("tabindex") == "0", path
        assert "aria-labelledby" in box.attributes or "aria-label" in box.attributes, path
        assert node.css_first("caption"), path
        assert all("scope" in head.attributes for head in node.css("th")), path


def test_hostile_text_stays_text(site: Site, pages: dict[str, LexborHTMLParser]) -> None:
    """What a spec file says is never markup, in the page or in its structured data."""
    tree = pages["bikes/invor-beta/index.html"]

    assert example.TRAP in words(tree)
    assert not [
        node
        for node in tree.css("script")
        if "alert" in node.text() and "@context" not in node.text()
    ]
    for node in tree.css('script[type="application/ld+json"]'):
        assert "<" not in node.text()
        assert json.loads(node.text())["@context"] == "https://schema.org"


def test_every_figure_stands_once_with_its_working(pages: dict[str, LexborHTMLParser]) -> None:
    """Each figure, of known and of new groups, folds out into formula, numbers, inputs and source."""
    tree = pages["bikes/invor-beta/index.html"]
    for kind in example.KINDS:
        if kind.id.count(".") == 1:
            working = tree.css_first(f'details[id="fig-{kind.id.replace(".", "-")}"]')

            assert working, kind.id
            for part in (
                "a = b ÷ c", "= 44 km", "Real over modelled", "80 %", "the loop"
            ):  # fmt: skip
                assert part in working.text(), (kind.id, part)
            method = working.css_first("p a[href*='method']").attributes["href"] or ""
            described = pages["method/index.html"].css_first(f'[id="{method.split("#")[1]}"]')
            assert "Source 1998" in described.parent.text(), kind.id


def test_a_family_is_a_table_with_one_working(pages: dict[str, LexborHTMLParser]) -> None:
    """Levels down, routes across, a place for each number, and the formula once."""
    tree = pages["bikes/invor-beta/index.html"]
    table = tree.css_first('table:has(caption[id="family-range-level"])')
    fold = tree.css_first('details.more:has([id="family-range-level"])')
    working = fold.css("details.working")

    assert [cell.text() for cell in table.css("thead th")] == ["Level", "the loop"]
    assert [cell.text() for cell in table.css("tbody th")] == ["Mild"]
    assert table.css_first('td[id="fig-range-rolling-level_1"] data[value="90000.0"]')
    assert len(working) == 1
    for part in ("a = b ÷ c", "= 44 km", "Real over modelled", "up to 80 %", "Method and source"):
        assert part in working[0].text(), part


def test_what_is_claimed_seen_changed_and_corrected(pages: dict[str, LexborHTMLParser]) -> None:
    text = words(pages["bikes/invor-beta/index.html"])

    assert "EN 15194, for the bike: claimed by the maker" in text
    assert "EN 50604-1, for the battery: we have seen the certificate" in text
    assert "for the version since 1 September 2026" in text
    assert "was 25 kg, is now 26.1 kg" in text
    assert "We have not ridden it" in text


def test_gaps_and_status_are_said_plainly(pages: dict[str, LexborHTMLParser]) -> None:
    """Nothing is known about this bike, so the page says what is missing and invents no headline."""
    text = words(pages["bikes/invor-delta/index.html"])

    assert "Withdrawn: no longer sold new" in text
    assert "Price: so the bike is left out of comparisons by price" in text
    assert "Range on the loop. Lacking: Energy on the label" in text
    assert not pages["bikes/invor-delta/index.html"].css("data.figure")
    assert "Announced, not on sale yet" in words(pages["bikes/invor-gamma/index.html"])


def test_cautions_stand_where_they_belong(pages: dict[str, LexborHTMLParser]) -> None:
    """Hills, charging, load and law each carry their caution, and it links to the page of cautions."""
    tree = pages["bikes/invor-beta/index.html"]
    for place, part in (
        ("steep", "brakes"),
        ("cost", "charger"),
        ("law", "moped"),
        ("short", "permitted total"),
    ):
        section = tree.css_first(f'section[aria-labelledby="{place}"]')
        box = section.css_first(".caution")

        assert part in box.text(), place


def test_a_section_without_figures_is_left_out(pages: dict[str, LexborHTMLParser]) -> None:
    assert pages["bikes/invor-beta/index.html"].css_first("#steep")
    assert not pages["bikes/invor-delta/index.html"].css_first("#steep")


def test_law_is_said_with_its_day_and_its_gaps(pages: dict[str, LexborHTMLParser]) -> None:
    """The publication's region comes first; an unknown stays unknown; nothing is called legal."""
    section = pages["bikes/invor-delta/index.html"].css_first('section[aria-labelledby="law"]')
    first = section.css_first("tbody tr").text(separator=" ")
    text = " ".join(section.text(separator=" ").split())

    assert "European Union" in first
    assert "cannot be told; not given: the maximum continuous rated power" in text
    assert "Rules in force on 4 October 2026" in text
    assert "is legal" not in text


def test_all_bikes_before_all_rules(pages: dict[str, LexborHTMLParser]) -> None:
    """One row a bike; an unknown names what is not given by a letter; a rule for trailers is left out."""
    tree = pages["law/index.html"]
    table = tree.css_first('table:has([id="categories"])')
    row = table.css_first('tr[id="invor-delta"]')
    letter = row.css_first(".not-known a")

    assert len(table.css("tbody tr")) == len(example.BIKES)
    assert "unknown" in row.text()
    assert tree.css_first(letter.attributes["href"] or "").text().strip()
    assert "moped" in tree.css_first(".caution").text()
    assert not tree.css_first("#rule-jp-trailer")
    assert len(row.css("td")) == len(table.css("thead th")) - 1
    assert table.css("thead th")[1].text().startswith("European Union")  # the publication's own
    assert tree.css("section.side > h2")[0].text() == "European Union"


def test_downloads_are_listed_without_a_line_for_each_bike(
    site: Site, pages: dict[str, LexborHTMLParser]
) -> None:
    """The tables, their description, and one line for all bikes; search engines get the two main files."""
    tree = pages["data/index.html"]
    listed = [node.attributes["href"] for node in tree.css("ul.contents a")]
    structured = [json.loads(node.text()) for node in tree.css('script[type*="ld+json"]')]
    files = next(item for item in structured if item["@type"] == "Dataset")["distribution"]

    assert listed == [
        "figures.csv", "figures.json", "kinds.csv", "datapackage.json", "bikes/invor-alpa.json"
    ]  # fmt: skip
    assert [one["contentUrl"].rsplit("/", 1)[1] for one in files] == [
        "figures.csv",
        "figures.json",
    ]
    assert json.loads(site["data/datapackage.json"])["title"].startswith(example.SETTINGS.title)


def test_the_schema_of_the_publication_is_passed_on(tmp_path: Path) -> None:
    (tmp_path / "bikes").mkdir()
    (tmp_path / "bikes" / "bike.schema.json").write_text("{}")

    assert built(root=tmp_path)["data/bike.schema.json"] == b"{}"


def test_a_term_names_the_guides_that_use_it(pages: dict[str, LexborHTMLParser]) -> None:
    assert "How far" in words(pages["glossary/range/index.html"]).split("Used in")[1]
    assert "Used in" not in words(pages["glossary/hill/index.html"])


def test_site_map_lists_every_page_but_one(site: Site, pages: dict[str, LexborHTMLParser]) -> None:
    """sitemaps.org protocol: absolute addresses; the "not found" page is not listed."""
    listed = site["sitemap.xml"].decode().split("<loc>")[1:]

    assert len(listed) == len(pages) - 1
    assert all(one.startswith("https://book.example/guide/") for one in listed)
    assert "404" not in site["sitemap.xml"].decode()


def test_same_input_same_bytes(site: Site) -> None:
    assert built() == site


def test_a_publication_may_bring_its_own_template(tmp_path: Path) -> None:
    """A publication's template replaces the program's of the same name; the others stay."""
    (tmp_path / "templates" / "parts").mkdir(parents=True)
    (tmp_path / "templates" / "parts" / "footer.html").write_text("<footer>Our own foot</footer>")

    assert b"Our own foot" in built(root=tmp_path)["index.html"]


def test_units_of_the_publication_come_first() -> None:
    """A publication for US readers gives miles before kilometres."""
    settings = replace(example.SETTINGS, units="us")
    page = built(replace(example.CONTENT, settings=settings))["guides/far/index.html"].decode()

    assert page.index('class="u-us"') < page.index('class="u-metric"')


def test_a_fault_in_a_text_stops_the_build() -> None:
    """The problem names file and line."""
    guide = replace(example.GUIDE, body='See {{ figure("invor-beta", "range.rollin") }}.\n')

    with pytest.raises(ProblemsFound) as caught:
        built(replace(example.CONTENT, guides=(guide,)))
    assert any(problem.file == "content/guides/far.md" for problem in caught.value.problems)
