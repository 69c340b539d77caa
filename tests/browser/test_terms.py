"""The definition that a glossary link shows in place.

W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.13: what appears on hover or focus can be
dismissed, can be hovered, and stays.
"""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.watching import Watched, undisturbed, watched

pytestmark = pytest.mark.browser

PAGE = "guides/how-the-motor-knows/index.html"


@pytest.fixture
def seen(browser: Browser, address: str) -> Iterator[Watched]:
    with undisturbed(browser, address + PAGE) as opened:
        yield opened


def parts(page: Page) -> tuple[Locator, Locator]:
    return page.locator("a.term").first, page.get_by_role("tooltip")


def test_hover_shows_and_the_pointer_may_move_onto_it(seen: Watched) -> None:
    """It describes the link, does not cover it, stays under the pointer, and goes when the pointer leaves both."""
    link, tip = parts(seen.page)
    assert not [url for url in seen.requests if "terms.js" in url and "data/" in url]
    link.hover()
    expect(tip).to_be_visible()
    expect(tip).to_contain_text("whether the cranks are turning")
    assert link.get_attribute("aria-describedby") == tip.get_attribute("id")
    one, other = link.bounding_box(), tip.bounding_box()
    assert one is not None
    assert other is not None
    assert other["y"] >= one["y"] + one["height"] or other["y"] + other["height"] <= one["y"]
    tip.hover()
    seen.page.wait_for_timeout(500)
    expect(tip).to_be_visible()
    seen.page.mouse.move(2, 2)
    expect(tip).to_be_hidden()
    assert link.get_attribute("aria-describedby") is None


def test_focus_shows_escape_closes_and_blur_closes(seen: Watched) -> None:
    """By keyboard: focus stays on the link, which still leads to the term's page."""
    link, tip = parts(seen.page)
    seen.page.keyboard.press("Tab")  # so that focus counts as the keyboard's
    link.focus()
    expect(tip).to_be_visible()
    seen.page.keyboard.press("Escape")
    expect(tip).to_be_hidden()
    expect(link).to_be_focused()
    seen.page.keyboard.press("Tab")
    seen.page.keyboard.press("Shift+Tab")
    expect(link).to_be_focused()
    expect(tip).to_be_visible()
    seen.page.locator(".masthead a").first.focus()
    expect(tip).to_be_hidden()
    link.focus()
    seen.page.keyboard.press("Enter")
    expect(seen.page.locator("h1")).to_have_text("Cadence sensor")


def test_escape_closes_what_the_pointer_opened(seen: Watched) -> None:
    link, tip = parts(seen.page)
    link.hover()
    expect(tip).to_be_visible()
    seen.page.keyboard.press("Escape")
    expect(tip).to_be_hidden()


def test_a_touch_follows_the_link(browser: Browser, address: str) -> None:
    """On a touch screen nothing comes between the finger and the page."""
    with watched(browser, "phone", has_touch=True) as seen:
        seen.fresh(address + PAGE)
        seen.page.locator("a.term").first.tap()
        expect(seen.page.locator("h1")).to_have_text("Cadence sensor")

    assert not [url for url in seen.requests if url.endswith("data/terms.js")]


def test_it_fits_a_small_screen(browser: Browser, address: str) -> None:
    """At 320 px each definition of the page stands between the edges, and the page does not scroll sideways."""
    with watched(browser, "phone") as seen:
        seen.page.set_viewport_size({"width": 320, "height": 640})
        seen.fresh(address + PAGE)
        tip = seen.page.get_by_role("tooltip")
        links = seen.page.locator("a.term")
        for place in range(0, links.count(), 3):
            links.nth(place).scroll_into_view_if_needed()
            links.nth(place).hover()
            expect(links.nth(place)).to_have_attribute("aria-describedby", "term-tip")
            box = tip.bounding_box()
            assert box is not None
            assert box["x"] >= 0
            assert box["x"] + box["width"] <= 320
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= 320


def test_letters_of_the_glossary_are_large_enough(browser: Browser, address: str) -> None:
    """WCAG 2.2, 2.5.8: targets of at least 24 by 24 px."""
    with watched(browser, "phone") as seen:
        seen.fresh(address + "glossary/index.html")
        boxes = [link.bounding_box() for link in seen.page.locator(".letters a").all()]

    assert len(boxes) > 15
    assert all(box and box["width"] >= 24 and box["height"] >= 24 for box in boxes)
