"""The chooser in a browser: ranks as Python does, by keyboard alone, from an address, and without scripts."""

import random
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from generator.figures.chooser.candidates import build_chooser
from generator.figures.chooser.changes import find_changes, list_questions
from generator.figures.chooser.model import Chooser, ChooserAnswers
from generator.figures.chooser.ranking import BikeRanker
from generator.figures.chooser.wishes import WISHES
from generator.pages.choose import page as choose_page
from generator.pages.choose.address import format_query
from tests.browser.test_pages import accessibility_faults
from tests.browser.watching import watched
from tests.figures import demo
from tests.figures.chooser.chooser_example import rank

pytestmark = pytest.mark.browser

PAGE = "choose/index.html"
DRAWN = 40
"""Sets of answers drawn at random, with a fixed seed."""

RANKED = """searches => searches.map(search => {
  const { tables, read, query } = guide.chooser;
  const answers = read(search);
  const ranking = guide.choosing.rank(tables, answers);
  return {
    places: ranking.places.map(each => [each.bike.slug, each.score, each.close, each.doubts]),
    apart: ranking.apart.map(each => [each.bike.slug, each.why]),
    left: ranking.left.map(each => [each.bike.slug, each.musts]),
    changes: guide.choosing.changes(tables, answers, ranking)
      .map(each => [each.words, query(each.answers), each.bike.slug]),
  };
})"""


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    content = demo.content()
    return build_chooser(demo.table(), content, content.settings.updated)


def opened(page: Page, url: str) -> None:
    page.goto(url)
    page.locator("#questions[data-ready]").wait_for()


def ranked(chooser: Chooser, answers: ChooserAnswers) -> dict[str, Any]:
    """What Python says, laid out as the browser lays it out."""
    found = rank(chooser, answers)
    return {
        "places": [
            [each.bike.slug, each.score, each.close, list(each.doubts)] for each in found.ranked
        ],
        "apart": [[bike.slug, why] for bike, why in found.set_apart],
        "left": [[bike.slug, list(musts)] for bike, musts in found.left_out],
        "changes": [
            [each.words, format_query(chooser, each.answers), each.bike.slug]
            for each in find_changes(BikeRanker(chooser), answers)
        ],
    }


def drawn(chooser: Chooser) -> list[ChooserAnswers]:
    """Sets of answers at random, weights too."""
    dice = random.Random(20261125)
    found = []
    for _ in range(DRAWN):
        given: dict[str, Any] = {
            each.id: dice.choice(each.answers).id
            for each in list_questions(chooser)
            if each.answers
        }
        given["budget"] = dice.choice(["", str(dice.randrange(600, 6000))])
        given["weights"] = {wish.id: dice.randrange(5) for wish in WISHES if dice.random() < 0.3}
        found.append(replace(chooser.usual, **given))
    return found


def test_browser_and_python_rank_alike(browser: Browser, address: str, chooser: Chooser) -> None:
    """Places, scores, warnings, what is left out and what would change: every leaf of the tree, and answers at random."""
    leaves = [each for use in chooser.uses for each in choose_page._list_answers(chooser, use)]
    tried = [chooser.usual, *leaves, *drawn(chooser)]
    with watched(browser) as seen:
        opened(seen.page, address + PAGE)
        found = seen.page.evaluate(RANKED, [format_query(chooser, each) for each in tried])

        assert not seen.complaints
    assert len(tried) > 90
    for answers, theirs in zip(tried, found, strict=True):
        assert theirs == ranked(chooser, answers), answers


def sentences(page: Page) -> list[str]:
    """What the short list says, without the links' addresses."""
    texts = page.locator(".shortlist > li").all_inner_texts()
    return [" ".join(text.split()) for text in texts]


def test_a_plain_page_says_the_same(browser: Browser, address: str, chooser: Chooser) -> None:
    """A leaf and the chooser with its answers print the same sentences, figure by figure, and link to the same places."""
    answers = replace(chooser.usual, use="city", hills="hilly", budget=str(chooser.bands[0]))
    links = "nodes => nodes.map(node => node.href)"
    with watched(browser) as seen:
        seen.fresh(address + choose_page.find_result_path(answers))
        plain = sentences(seen.page)
        there = seen.page.locator(".shortlist a").evaluate_all(links)
        seen.page.get_by_role("link", name="Change the answers").click()
        seen.page.locator("#questions[data-ready]").wait_for()

        assert sentences(seen.page) == plain
        assert seen.page.locator(".shortlist a").evaluate_all(links) == there
    assert len(plain) == 5
    assert "likely" in plain[0]


def test_by_keyboard_alone(browser: Browser, address: str) -> None:
    """Tab, arrows, digits and Enter lead through all questions to the list and on to a bike."""
    with watched(browser, "phone", reduced_motion="reduce") as seen:
        page = seen.page
        opened(page, address + PAGE)
        page.locator("#main").focus()

        def tab_to(selector: str) -> None:
            for _ in range(30):
                page.keyboard.press("Tab")
                if page.evaluate("selector => document.activeElement.matches(selector)", selector):
                    return
            raise AssertionError(selector)

        tab_to("[name=use]")
        page.keyboard.press("ArrowRight")  # from anything to cargo
        tab_to("[name=trip]")
        page.keyboard.press("ArrowRight")
        tab_to("[name=load]")
        page.keyboard.press("ArrowDown")
        page.keyboard.press("ArrowDown")
        tab_to("[name=budget]")
        page.keyboard.type("5000")
        tab_to("[name=stairs]")
        tab_to("summary")
        page.keyboard.press("Enter")
        tab_to("#w-reach")
        page.keyboard.press("ArrowRight")
        assert page.evaluate("document.activeElement.nextElementSibling.value") == "very much"
        page.wait_for_timeout(100)  # a frame or two, in which the page scrolls
        assert in_sight(page)
        tab_to("button[type=submit]")
        page.keyboard.press("Enter")

        assert page.evaluate("document.activeElement.id") == "result"
        search = page.evaluate("location.search")
        assert search == "?use=cargo&trip=20&load=child&budget=5000&w=reach4"
        expect(page.locator("#status[role=status]")).to_have_text(
            re.compile(r"\d bikes fit; first is \w+")
        )
        first = page.locator(".shortlist a").first
        name = first.inner_text()
        tab_to(".shortlist h3 a")
        page.keyboard.press("Enter")
        page.wait_for_url("**/bikes/**")

        assert page.locator("h1").inner_text() == name
        assert not seen.complaints


def in_sight(page: Page) -> bool:
    """Is the focused control above the bar that sticks to the bottom of the form?"""
    found: bool = page.evaluate(
        """() => document.activeElement.getBoundingClientRect().bottom
          <= document.querySelector('.choose__bar').getBoundingClientRect().top"""
    )
    return found


def test_an_address_restores_the_answers(browser: Browser, address: str) -> None:
    """A shared address fills the form; the back button undoes an answer; nonsense in an address is as usual."""
    search = "?use=city&hills=hilly&budget=2500&feel=follow&w=cost0"
    with watched(browser) as seen:
        page = seen.page
        opened(page, address + PAGE + search)
        before = sentences(page)

        assert page.locator("[name=use][value=city]").is_checked()
        assert page.locator("[name=hills][value=hilly]").is_checked()
        assert page.locator("#budget").input_value() == "2500"
        assert page.locator("#w-cost").input_value() == "0"
        assert "the motor adds" in " ".join(before)
        page.locator("[name=hills][value=flat]").check()
        assert "hills=flat" in page.url
        assert sentences(page) != before
        page.go_back()
        assert page.url.endswith(search)
        expect(page.locator("[name=hills][value=hilly]")).to_be_checked()
        assert sentences(page) == before
        opened(page, f"{address}{PAGE}?use=%3Cb%3E&trip=1e9&budget=-5&w=reach9.nothing3")
        changed = sentences(page)
        opened(page, address + PAGE)
        assert changed == sentences(page)
        assert not seen.complaints


def test_a_change_can_be_followed(browser: Browser, address: str) -> None:
    """“With …, X would come first”: following it puts X first, in the same page."""
    with watched(browser) as seen:
        page = seen.page
        opened(page, f"{address}{PAGE}?use=city")
        change = page.locator("h3:has-text('What would change') + ul > li").first
        promised = change.locator("a").nth(1).inner_text()
        change.locator("a").first.click()

        expect(page.locator(".shortlist h3 a").first).to_have_text(promised)
        assert "use=city&" in page.url
        assert page.evaluate("document.activeElement.id") == "result"


def test_without_scripts(browser: Browser, site: Path) -> None:
    """No dead form: the tree of plain pages leads to a list with reasons."""
    with watched(browser, java_script_enabled=False) as seen:
        page = seen.page
        page.goto((site / PAGE).as_uri())
        assert not page.locator("#questions").is_visible()
        page.locator("main").get_by_role("link", name="For the city").click()
        page.locator("main .index a").first.click()

        assert page.locator(".shortlist > li").count() > 1
        assert page.locator(".shortlist").is_visible()
        assert "Meets your" in page.inner_text("main")


def test_from_disk(browser: Browser, site: Path) -> None:
    """Opened from a folder the form works too."""
    with watched(browser) as seen:
        opened(seen.page, (site / PAGE).as_uri())
        seen.page.locator("[name=stairs][value=daily]").check()
        seen.page.locator("summary", has_text="left out").click()

        expect(seen.page.locator("#list")).to_contain_text("too much to be carried every day")
        assert not seen.complaints


@pytest.mark.parametrize("width", ["phone", "desk"])
def test_the_list_is_accessible(browser: Browser, address: str, width: str) -> None:
    """Axe on the whole page with everything unfolded, narrow and wide."""
    with watched(browser, width) as seen:
        opened(seen.page, f"{address}{PAGE}?budget=2500&fast=yes&feel=push&stairs=some")
        seen.page.evaluate(
            "document.querySelectorAll('main details').forEach(one => one.open = true)"
        )

        assert not accessibility_faults(seen.page)
        assert seen.page.evaluate(
            "document.documentElement.scrollWidth <= document.documentElement.clientWidth"
        )
        assert not seen.violations()


def test_nothing_fits_shows_the_nearest_misses(browser: Browser, address: str) -> None:
    """With musts that no bike meets, what misses fewest stands first and in sight."""
    with watched(browser) as seen:
        opened(seen.page, f"{address}{PAGE}?trip=60&hills=hilly&budget=400&stairs=daily")
        box = seen.page.locator("#list details", has_text="nearest misses first")

        expect(seen.page.locator("#status")).to_have_text("No bike meets all must-haves.")
        expect(box.locator("li").first).to_be_visible()
        reasons = [item.count(". ") for item in box.locator("li").all_inner_texts()]
        assert reasons[0] == min(reasons)


def test_the_first_ones_can_be_compared(browser: Browser, address: str) -> None:
    with watched(browser) as seen:
        page = seen.page
        opened(page, f"{address}{PAGE}?use=city")
        first = page.locator(".shortlist h3 a").all_inner_texts()[:3]
        page.get_by_role("link", name="The first three side by side").click()
        page.locator("[data-ready]").first.wait_for()

        assert all(name in page.inner_text("main") for name in first)
        assert not seen.complaints


def test_a_budget_that_is_none_is_said_to_be_wrong(browser: Browser, address: str) -> None:
    """A negative budget limits nothing, and the field says that it is not valid."""
    with watched(browser) as seen:
        page = seen.page
        opened(page, address + PAGE)
        before = sentences(page)
        page.locator("#budget").fill("-5")
        page.locator("#budget").blur()

        assert page.evaluate("!document.getElementById('budget').validity.valid")
        assert sentences(page) == before
        assert "budget" not in page.url
