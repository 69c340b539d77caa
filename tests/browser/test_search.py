"""Search in a browser: what it finds, by keyboard alone, from a disk, and with what it says when it finds nothing."""

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.test_pages import accessibility_faults
from tests.browser.watching import watched
from tests.figures import demo

pytestmark = pytest.mark.browser

PAGE = "search/index.html"


def opened(page: Page, url: str) -> None:
    page.goto(url)
    page.locator("#search[data-ready]").wait_for()


def found(page: Page, kind: str) -> list[str]:
    """Titles of what was found of a kind, best first."""
    return page.locator(f"section[aria-labelledby='of-{kind}'] li a").all_text_contents()


def asked(page: Page, words: str) -> None:
    page.locator("#q").fill(words)
    page.locator("#q").press("Enter")


BIKE, GUIDE, TERM = "0", "1", "2"


def test_what_is_found(browser: Browser, address: str) -> None:
    """A bike by its maker, by a fact and by a slip of spelling; a term by another word for it; a guide by a heading."""
    with watched(browser) as seen:
        opened(seen.page, address + PAGE)

        asked(seen.page, "pellimor")
        assert set(found(seen.page, BIKE)) == {
            "Pellimor Fenno", "Pellimor Fenno R", "Pellimor Quarl"
        }  # fmt: skip
        asked(seen.page, "pelimor quarl")
        assert found(seen.page, BIKE)[0] == "Pellimor Quarl"
        asked(seen.page, "folding front hub")
        assert "Lumtarn Izzul" in found(seen.page, BIKE)
        asked(seen.page, "ghost pedaling")
        assert found(seen.page, TERM)[0] == "Ghost pedalling"
        asked(seen.page, "PAS sensor")
        assert found(seen.page, TERM)
        asked(seen.page, "spec sheet")
        assert "How to read a spec sheet" in found(seen.page, GUIDE)

        assert seen.complaints == []
        assert seen.violations() == []


def test_terms_are_found_by_their_names(browser: Browser, address: str) -> None:
    """Every sixth term: first by its title, among the first eight by each other word for it."""
    terms = demo.content().terms[::6]
    lost = []
    with watched(browser) as seen:
        opened(seen.page, address + PAGE)
        for term in terms:
            asked(seen.page, term.title)
            lost += [term.title] if found(seen.page, TERM)[0] != term.title else []
            for alias in term.aliases:
                asked(seen.page, alias)
                lost += [alias] if term.title not in found(seen.page, TERM) else []

    assert len(terms) > 20
    assert not lost


def test_typing_answers_and_enter_keeps_the_address(browser: Browser, address: str) -> None:
    """By keyboard alone, from the field to the first result and back again by the browser's own way."""
    with watched(browser) as seen:
        page = seen.page
        opened(page, address + PAGE)
        page.locator("#q").focus()
        page.keyboard.type("karnoot", delay=5)
        expect(page.locator("#found")).to_have_text(re.compile("Found for “karnoot”: 3 bikes"))
        assert page.url.endswith(PAGE)

        page.keyboard.press("Enter")
        assert page.url.endswith("?q=karnoot")
        page.keyboard.press("Tab")
        page.keyboard.press("Tab")
        focused = page.evaluate("document.activeElement.textContent")
        assert focused.startswith("Karnoot")
        page.keyboard.press("Enter")
        page.wait_for_url("**/bikes/karnoot-*/**")
        page.go_back()
        page.locator("#search[data-ready]").wait_for()
        assert page.locator("#q").input_value() == "karnoot"
        assert len(found(page, BIKE)) == 3
        assert seen.violations() == []


def test_an_address_with_a_question(browser: Browser, address: str) -> None:
    """Such as a reader may have kept; odd signs in it are words and nothing else."""
    with watched(browser) as seen:
        opened(seen.page, address + PAGE + "?q=%3Cb%3Eberg%3C%2Fb%3E+%22%27+x")
        expect(seen.page.locator("#found")).to_contain_text("“<b>berg</b> \"' x”")
        opened(seen.page, address + PAGE + "?q=torque")
        assert "Torque" in found(seen.page, TERM)
        assert seen.complaints == []


def test_nothing_found_says_what_to_try(browser: Browser, address: str) -> None:
    with watched(browser) as seen:
        opened(seen.page, address + PAGE)
        asked(seen.page, "qqxxzzvv")
        expect(seen.page.locator("#found")).to_have_text(
            re.compile("Nothing found .* Try fewer or shorter words")
        )
        asked(seen.page, "karnoot qqxxzzvv")
        expect(seen.page.locator("#found")).to_contain_text("Nothing has all of")
        assert len(found(seen.page, BIKE)) == 3
        asked(seen.page, "")
        expect(seen.page.locator("#found")).to_be_empty()
        assert seen.page.locator("#results").inner_text() == ""


def test_more_are_shown_when_asked_for(browser: Browser, address: str) -> None:
    with watched(browser) as seen:
        opened(seen.page, address + PAGE + "?q=hub+motor")
        assert len(found(seen.page, BIKE)) == 8
        more = seen.page.locator("section[aria-labelledby='of-0'] button")
        said = int(re.findall(r"\d+", more.inner_text())[0])
        more.press("Enter")
        titles = found(seen.page, BIKE)

        assert len(titles) == said > 8
        assert seen.page.evaluate("document.activeElement.textContent") == titles[8]


def test_from_disk(browser: Browser, site: Path) -> None:
    """Nothing is fetched: the list comes as a script, and links lead to files."""
    with watched(browser) as seen:
        opened(seen.page, (site / PAGE).as_uri())
        asked(seen.page, "zandreth")
        links = seen.page.locator("section[aria-labelledby='of-0'] li a")

        assert links.count() == 3
        for link in links.all():
            href = link.get_attribute("href") or ""
            assert (site / href.removeprefix(site.as_uri() + "/")).is_file()
        assert seen.complaints == []
        assert seen.violations() == []


def test_without_scripts_the_lists_are_there(browser: Browser, address: str) -> None:
    with watched(browser, java_script_enabled=False) as seen:
        seen.fresh(address + PAGE)

        assert not seen.page.locator("#search").is_visible()
        for words in ("All bikes", "The guides", "The glossary"):
            assert seen.page.get_by_role("link", name=words).is_visible()


@pytest.mark.parametrize(("width", "scheme"), [("phone", "dark"), ("desk", "light")])
def test_results_can_be_read_by_all(
    browser: Browser, address: str, width: str, scheme: str
) -> None:
    with watched(browser, width, scheme) as seen:
        opened(seen.page, address + PAGE + "?q=torque+sensor")

        assert accessibility_faults(seen.page) == []
        assert seen.page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_every_address_in_the_list_is_a_page(site: Path) -> None:
    text = (site / "data" / "search.js").read_text("utf-8")
    rows = json.loads(text[text.index(",") + 1 : text.rindex(")")])
    paths = {row[1].partition("#")[0] for row in rows}

    assert {row[0] for row in rows} == {0, 1, 2, 3, 4}
    assert not [path for path in paths if not (site / path).is_file()]
    for path, _, fragment in (row[1].partition("#") for row in rows):
        if fragment:
            assert f'id="{fragment}"' in (site / path).read_text("utf-8"), fragment


def test_words_written_by_ear(browser: Browser, address: str) -> None:
    """Who has only heard a word in a shop finds its entry first."""
    heard = {"tork": "Torque", "drivetrane": "Drivetrain loss"}
    with watched(browser) as seen:
        opened(seen.page, address + PAGE)
        for word, title in heard.items():
            asked(seen.page, word)

            assert found(seen.page, TERM)[0] == title, word
