"""The feed of changes, checked against RFC 4287 (The Atom Syndication Format) with an XML parser."""

import re
from dataclasses import replace
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

import pytest

from generator.content.model import Content
from generator.figures.table.figures_table import FiguresTable
from generator.pages.feed import atom, site_feed
from generator.pages.frame.renderer import Renderer
from tests.pages import site_example as example

ATOM = "{http://www.w3.org/2005/Atom}"
DATE = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)")
"""RFC 3339, 5.6, with the capitals that RFC 4287, 3.3 asks for."""
CHANGELOG = replace(
    example.text("pages", "changelog", "What is new"),
    file="content/changelog.md",
    body="## Unreleased\n\nSoon.\n\n## 20 November 2026\n\nSee [the range](#site) & more.\n\n"
    "## 0.1, 2026-10-01\n\nFirst.\n",
)
CONTENT = replace(example.CONTENT, changelog=CHANGELOG)

Element = ElementTree.Element


def made(content: Content = CONTENT, table: FiguresTable | None = None) -> bytes:
    renderer = Renderer(table or example.table(), content, Path("nowhere"))
    (output,) = site_feed.outputs(renderer)
    return output.data


def parsed(content: Content = CONTENT) -> Element:
    return ElementTree.fromstring(made(content))


def texts(parent: Element, name: str) -> list[str]:
    return [each.text or "" for each in parent.findall(ATOM + name)]


def test_a_feed_has_what_it_must() -> None:
    """RFC 4287, 4.1.1: one id, title, updated; an author, since its entries have none; one link to itself."""
    root = parsed()

    assert root.tag == f"{ATOM}feed"
    for name in ("id", "title", "updated"):
        assert len(texts(root, name)) == 1, name
    for name in ("subtitle", "rights", "generator", "icon", "logo"):
        assert len(texts(root, name)) <= 1, name
    assert [texts(author, "name") for author in root.findall(f"{ATOM}author")] == [
        [example.SETTINGS.title]
    ]
    links = {link.attrib["rel"]: link.attrib["href"] for link in root.findall(f"{ATOM}link")}
    assert links == {
        "self": "https://book.example/guide/feed.xml",
        "alternate": "https://book.example/guide/",
    }


def test_an_entry_has_what_it_must() -> None:
    """RFC 4287, 4.1.2: one id, title, updated; no more than one content; a link where content has no source."""
    entries = parsed().findall(f"{ATOM}entry")

    assert len(entries) > 5
    for entry in entries:
        for name in ("id", "title", "updated", "content"):
            assert len(texts(entry, name)) == 1, name
        assert texts(entry, "title") != [""]
        links = entry.findall(f"{ATOM}link")
        assert [link.attrib["rel"] for link in links] == ["alternate"]
        content = entry.find(f"{ATOM}content")
        assert content is not None
        assert content.attrib["type"] == "html"
        assert (content.text or "").startswith("<")
        assert len(content) == 0  # 4.1.3.3: HTML is escaped, no element stands in it


def test_ids_are_addresses_and_unique() -> None:
    """RFC 4287, 4.2.6: an id is an absolute IRI; 4.1.1: no two entries with the same id and date."""
    root = parsed()
    ids = [texts(entry, "id")[0] for entry in root.findall(f"{ATOM}entry")]

    assert len(set(ids)) == len(ids)
    assert all(one.startswith("https://book.example/guide/") for one in ids)
    assert texts(root, "id")[0] not in ids


def test_dates_are_as_rfc_3339_says() -> None:
    """Newest first; the feed is as new as its newest entry."""
    root = parsed()
    days = [texts(entry, "updated")[0] for entry in root.findall(f"{ATOM}entry")]

    assert all(DATE.fullmatch(day) for day in days)
    assert days == sorted(days, reverse=True)
    assert texts(root, "updated") == days[:1]


def test_what_is_told() -> None:
    """A dated section, a guide, and what was recorded of a bike on one day; not what has no date."""
    entries = {
        texts(entry, "title")[0]: texts(entry, "content")[0]
        for entry in parsed().findall(f"{ATOM}entry")
    }

    assert "What is new: 20 November 2026" in entries
    assert "What is new: 0.1, 2026-10-01" in entries
    assert not [title for title in entries if "Unreleased" in title]
    assert "Guide checked: How far" in entries
    assert "was 25 kg, is now 26.1 kg. Misread." in entries["Invor Beta: corrected"]
    assert "List price seen" in entries["Invor Beta: price seen"]
    assert "Changed by the maker, firmware: Milder." in entries["Invor Beta: changed by the maker"]


def test_links_in_a_section_are_whole() -> None:
    """Addresses are absolute: a feed reader cannot resolve relative ones."""
    section = next(
        texts(entry, "content")[0]
        for entry in parsed().findall(f"{ATOM}entry")
        if "November" in texts(entry, "title")[0]
    )

    assert 'href="https://book.example/guide/changelog/#site"' in section
    assert "&amp; more" in section


@pytest.mark.parametrize(
    ("heading", "day"),
    [
        ("2026-11-25", date(2026, 11, 25)),
        ("Version 0.2 of 4 October 2026", date(2026, 10, 4)),
        ("31 June 2026", None),
        ("4 Octember 2026", None),
        ("Unreleased", None),
    ],
)
def test_dates_in_headings(heading: str, day: date | None) -> None:
    assert site_feed.find_day(heading) == day


def test_the_feed_is_limited_and_takes_the_newest() -> None:
    bikes = tuple(example.bike(f"maker-{number:03}", 900.0) for number in range(70))
    root = ElementTree.fromstring(made(table=example.table(bikes)))
    entries = root.findall(f"{ATOM}entry")

    assert len(entries) == atom.MOST_ENTRIES == 60
    assert texts(entries[0], "title") == ["What is new: 20 November 2026"]


def test_a_publication_without_dates_has_a_feed_all_the_same() -> None:
    content = replace(CONTENT, changelog=None, guides=())
    root = ElementTree.fromstring(made(content, example.table((example.bike("maker-one"),))))

    assert not root.findall(f"{ATOM}entry")
    assert DATE.fullmatch(texts(root, "updated")[0])


def test_text_that_no_xml_may_hold() -> None:
    """Characters that XML forbids are left out, and markup in a name stays text."""
    bike = example.bike("maker-odd", 900.0, name='<b>O\x0bdd</b> & "so"')
    root = ElementTree.fromstring(made(table=example.table((bike,))))
    titles = [texts(entry, "title")[0] for entry in root.findall(f"{ATOM}entry")]

    assert 'Maker <b>Odd</b> & "so": price seen' in titles


def test_the_same_input_gives_the_same_feed() -> None:
    assert made() == made()
