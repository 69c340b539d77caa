"""The site opened from a folder, and without scripts: what it has to say must still be there."""

import csv
from collections.abc import Sequence
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from selectolax.lexbor import LexborHTMLParser, LexborNode

from tests.browser.watching import watched

pytestmark = pytest.mark.browser


def headline_texts(site: Path, page: str) -> list[str]:
    """The text of every figure that the page's HTML shows outside of folded parts."""
    tree = LexborHTMLParser((site / page).read_text("utf-8"))
    return [
        " ".join(node.text().split()) for node in tree.css("main data.figure") if not folded(node)
    ]


def folded(node: LexborNode | None) -> bool:
    """Does the element lie in a closed `details`?"""
    while node is not None:
        if node.tag == "details" and "open" not in node.attributes:
            return True
        node = node.parent
    return False


def test_every_kind_of_page_from_disk(browser: Browser, site: Path, one_of_each: list[str]) -> None:
    """Opened as files, pages have their style and complain of nothing."""
    faults: dict[str, list[str]] = {}
    with watched(browser) as seen:
        for path in one_of_each:
            seen.fresh((site / path).as_uri())
            styled = seen.page.evaluate(
                "[...document.styleSheets].length > 0"
                " && getComputedStyle(document.body).fontFamily !== 'Times New Roman'"
            )
            refused = [f"policy: {what}" for what in seen.violations()]
            faults[path] = [*seen.complaints, *refused, *([] if styled else ["has no style"])]

    assert not {path: found for path, found in faults.items() if found}


def laid_out(page: Page, wanted: Sequence[str]) -> str:
    """Text of the page once it holds what is wanted, or after five seconds: a busy machine lays out one part after another."""
    for _ in range(50):
        text = " ".join(page.inner_text("main").split())
        if all(each in text for each in wanted):
            break
        page.wait_for_timeout(100)
    return text


def test_main_facts_without_scripts(browser: Browser, site: Path, one_of_each: list[str]) -> None:
    """With JavaScript off, a page shows its heading and every figure in its text."""
    shown = 0
    with watched(browser, java_script_enabled=False) as seen:
        seen.page.set_viewport_size(
            {"width": 1280, "height": 30_000}
        )  # what is out of sight is not laid out
        for path in one_of_each:
            seen.fresh((site / path).as_uri())
            wanted = headline_texts(site, path)
            text = laid_out(seen.page, wanted)
            assert seen.page.locator("h1").count() == 1, path
            assert seen.page.locator("h1").is_visible(), path
            for figure in wanted:
                assert figure in text, (path, figure)
                shown += 1

    assert shown > 20


def test_every_bike_is_in_the_lists(site: Path) -> None:
    """The list of bikes links every bike that has figures, and the home page leads to the list."""
    with (site / "data" / "figures.csv").open(encoding="utf-8", newline="") as file:
        bikes = {row["bike"] for row in csv.DictReader(file)}
    listing = LexborHTMLParser((site / "bikes" / "index.html").read_text("utf-8"))
    links = {node.attributes.get("href") or "" for node in listing.css("a[href]")}

    assert bikes
    for bike in bikes:
        assert any(link.split("#")[0].strip("./").split("/")[0] == bike for link in links), bike
