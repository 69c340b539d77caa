"""Bikes side by side in a browser: says what Python says, by keyboard alone, from an address, and on a phone."""

import random
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from generator.pages.compare.page import build_facts_table, build_tables, summarize_rows
from generator.pages.compare.pairs import BikePairs
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike
from tests.browser.test_pages import WIDER_THAN_THE_SCREEN, accessibility_faults
from tests.browser.watching import watched
from tests.figures import demo

pytestmark = pytest.mark.browser

PAGE = "compare/index.html"
FOUR = "?bikes=oskelm-talli,pellimor-fenno,tuspen-hebb,gromblo-drusk"
"""Two currencies, and a bike of which little is known."""

ROWS = """sets => Promise.all(sets.map(async slugs => {
  const cards = await Promise.all(slugs.map(slug => guide.load(`bikes/${slug}/card.js`)));
  const { elements, summary } = guide.sideBySide(cards);
  return [summary, elements.map(element => [...element.querySelector('tbody').rows].map(row => [
    row.querySelector('th').firstChild.textContent,
    row.querySelector('.sides__said').textContent,
    row.matches('.sides__clear'),
    [...row.querySelectorAll('td[data-name]')].map(cell => cell.querySelector('.sides__mark')?.textContent ?? ''),
  ]))];
}))"""
"""For each set its summary, and of every row, table by table, title, verdict, is it clear, and the marks."""


def opened(page: Page, url: str) -> None:
    page.goto(url)
    page.locator("#picker[data-ready]").wait_for()


def shown(page: Page, bikes: list[str]) -> None:
    """Wait until the tables are those of these bikes."""
    page.locator(f'#sides[data-shown="{"?bikes=" + ",".join(bikes) if bikes else ""}"]').wait_for()


def sets() -> list[tuple[Bike, ...]]:
    """Every pre-built pair, and triples and quadruples at random, with a fixed seed."""
    dice = random.Random(20261125)
    bikes = list(demo.bikes())
    drawn = [tuple(dice.sample(bikes, count)) for count in [3] * 8 + [4] * 8]
    return [*BikePairs(bikes).all, *drawn]


def said(renderer: Renderer, bikes: tuple[Bike, ...]) -> list[Any]:
    """What Python says, laid out as `ROWS` does."""
    first, *others = build_tables(renderer, bikes, PAGE)
    return [
        summarize_rows(first.rows),
        [
            [
                [row.title, row.verdict, row.clear, [mark for _, mark in row.cells]]
                for row in table.rows
            ]
            for table in (first, build_facts_table(renderer, bikes), *others)
        ],
    ]


def test_browser_and_python_say_the_same(browser: Browser, address: str) -> None:
    """Order, verdict and marks of every row, for every pre-built pair and for more bikes at once."""
    renderer = Renderer(demo.table(), demo.content(), demo.ROOT)
    tried = sets()
    with watched(browser) as seen:
        opened(seen.page, address + PAGE)
        found = seen.page.evaluate(ROWS, [[bike.slug for bike in bikes] for bikes in tried])

        assert not seen.complaints
    for bikes, theirs in zip(tried, found, strict=True):
        assert theirs == said(renderer, bikes), [bike.slug for bike in bikes]
    words = {row[1] for _, tables in found for table in tables for row in table}
    for part in (
        "better: ",
        "best: ",
        "no clear difference from",
        "no clear best",
        "not known: ",
        "not known for all",
    ):
        assert any(part in each for each in words), part


def texts(page: Page) -> list[str]:
    cells = page.locator("main .sides :is(th, td)").all_text_contents()
    return [" ".join(cell.split()) for cell in cells]


def test_a_pair_is_the_same_on_its_own_page(browser: Browser, address: str) -> None:
    """Numbers, links and words of a pre-built page, from the data files; the page leads to the free comparison."""
    one, other = BikePairs(demo.bikes()).all[0]
    links = "nodes => nodes.map(node => node.href)"
    with watched(browser) as seen:
        seen.fresh(f"{address}compare/{one.slug}-vs-{other.slug}/index.html")
        plain = texts(seen.page)
        there = seen.page.locator("main .sides a").evaluate_all(links)
        seen.page.get_by_role("link", name="Add a third bike").click()
        shown(seen.page, [one.slug, other.slug])

        assert texts(seen.page) == plain
        assert seen.page.locator("main .sides a").evaluate_all(links) == there
    assert len(plain) > 100


def test_by_keyboard_alone(browser: Browser, address: str) -> None:
    """Typing, Enter and Tab add bikes, take one out and fold out figures; what happens is said."""
    with watched(browser, "phone") as seen:
        page = seen.page
        opened(page, address + PAGE)
        status = page.locator("#said")
        page.locator("#main").focus()

        def tab_to(selector: str) -> None:
            for _ in range(12):
                page.keyboard.press("Tab")
                if page.evaluate("selector => document.activeElement.matches(selector)", selector):
                    return
            raise AssertionError(selector)

        tab_to("#add")
        page.keyboard.type("quarl")
        page.keyboard.press("Enter")
        expect(status).to_contain_text("Pellimor Quarl added. Add a second bike")
        page.keyboard.type("Oskelm Talli")
        page.keyboard.press("Enter")
        expect(status).to_contain_text("Oskelm Talli added. 2 bikes side by side.")
        page.keyboard.type("izzul")
        page.keyboard.press("Enter")
        expect(status).to_have_text("2 bikes match: Lumtarn Izzul, Lumtarn Izzul 3.")
        page.keyboard.press("Control+a")
        page.keyboard.type("zandreth lorn")
        page.keyboard.press("Enter")
        shown(page, ["pellimor-quarl", "oskelm-talli", "zandreth-lorn"])
        tab_to("[aria-label='Remove Pellimor Quarl']")
        page.keyboard.press("Enter")
        shown(page, ["oskelm-talli", "zandreth-lorn"])
        assert page.evaluate("document.activeElement.id") == "add"
        assert page.url.endswith("?bikes=oskelm-talli,zandreth-lorn")
        page.locator("summary").first.focus()
        page.keyboard.press("Enter")
        expect(page.locator("details.sides__part .sides").first).to_be_visible()
        assert not seen.complaints


def test_an_address_can_be_shared(browser: Browser, address: str) -> None:
    """The address alone gives the tables; back undoes; four at most; a bike that there is not is told."""
    with watched(browser) as seen:
        page = seen.page
        opened(page, f"{address}{PAGE}?bikes=oskelm-talli,invented-thing,tuspen-hebb,oskelm-talli")
        status = page.locator("#said")
        expect(status).to_contain_text(
            "There is no bike “invented-thing” here. 2 bikes side by side."
        )
        page.locator("#add").fill("Karnoot Dromm")
        page.get_by_role("button", name="Add").click()
        shown(page, ["oskelm-talli", "tuspen-hebb", "karnoot-dromm"])
        page.go_back()
        expect(page.locator("#chosen li")).to_have_count(2)
        page.go_forward()
        expect(page.locator("#chosen li")).to_have_count(3)
        opened(page, address + PAGE + FOUR)
        page.locator("#add").fill("Karnoot Dromm")
        page.get_by_role("button", name="Add").click()
        expect(status).to_have_text("4 bikes at most: remove one first.")
        expect(page.locator("#chosen li")).to_have_count(4)
        assert not seen.complaints


@pytest.mark.parametrize(("width", "scheme"), [("phone", "dark"), ("desk", "light")])
def test_four_bikes_can_be_read(browser: Browser, address: str, width: str, scheme: str) -> None:
    """Nothing off the screen, nothing that axe objects to, with everything folded out."""
    with watched(browser, width, scheme) as seen:
        opened(seen.page, address + PAGE + FOUR)
        seen.page.evaluate(
            "document.querySelectorAll('main details').forEach(one => one.open = true)"
        )

        assert seen.page.locator(".sides").count() > 5
        assert not seen.page.evaluate(WIDER_THAN_THE_SCREEN)
        assert not accessibility_faults(seen.page)
        assert not [*seen.violations(), *seen.complaints]
        names = seen.page.locator(".sides td[data-name='Tuspen Hebb']").first
        before = names.evaluate("cell => getComputedStyle(cell, '::before').content")
        assert before == ('"Tuspen Hebb"' if width == "phone" else "none")


def test_without_scripts(browser: Browser, site: Path) -> None:
    """No dead form; the pairs lead to whole pages."""
    with watched(browser, java_script_enabled=False) as seen:
        page = seen.page
        page.goto((site / PAGE).as_uri())
        assert not page.locator("#picker").is_visible()
        page.locator(".index a").first.click()

        assert page.locator("h1").inner_text().count(" or ") == 1
        assert page.locator(".sides").first.is_visible()


def test_from_disk(browser: Browser, site: Path) -> None:
    """Opened from a folder, with the bikes in the address, and changed there."""
    with watched(browser) as seen:
        opened(seen.page, (site / PAGE).as_uri() + FOUR)
        seen.page.get_by_role("button", name="Remove Gromblo Drusk").click()
        expect(seen.page.locator("#said")).to_contain_text("3 bikes side by side")
        assert not seen.complaints


def test_lists_offer_comparison(browser: Browser, address: str) -> None:
    """Boxes in the rows make a link; four at most; a bike's own page links there too."""
    with watched(browser) as seen:
        page = seen.page
        seen.fresh(f"{address}bikes/index.html")
        boxes = page.locator(".catalogue__pick input")
        slugs: list[Any] = [boxes.nth(place).get_attribute("value") for place in (0, 2, 3, 5)]
        for slug in slugs:
            page.locator(f".catalogue__pick input[value={slug}]").check()
        assert boxes.nth(1).is_disabled()
        page.locator(f".catalogue__pick input[value={slugs[1]}]").uncheck()
        page.get_by_role("link", name="Compare 3 bikes").click()
        shown(page, [slugs[0], slugs[2], slugs[3]])
        seen.fresh(f"{address}bikes/oskelm-talli/index.html")
        page.get_by_role("link", name="Compare with any other bikes").click()
        expect(page.locator("#chosen li")).to_have_text("Oskelm TalliRemove")
        assert not seen.complaints
