"""The page while `watch` serves it: shown anew when it changed, with problems over it."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from generator.pages.frame.policy import IN_PAGE
from generator.publish.watch.server import open_server
from generator.publish.watch.stage import ShownSite
from generator.specs.problems import Problem

PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}"><title>T</title>
</head><body><h1>{word}</h1></body></html>
"""


def site(word: str) -> dict[str, bytes]:
    return {"index.html": PAGE.format(policy=IN_PAGE, word=word).encode()}


@pytest.fixture
def stage() -> ShownSite:
    stage = ShownSite()
    stage.update_files(site("First"))
    return stage


@pytest.fixture
def page(stage: ShownSite, browser: Browser) -> Iterator[Page]:
    server = open_server(stage, 0)
    server.start()
    context = browser.new_context()
    page = context.new_page()
    page.goto(server.address)
    yield page
    context.close()
    server.close()


def test_a_changed_page_is_shown_anew(page: Page, stage: ShownSite) -> None:
    """Under the site's own policy; and a page that stays the same is left alone."""
    expect(page.locator("h1")).to_have_text("First")
    page.evaluate("window.same = true")
    stage.update_files({"elsewhere/index.html": b"<head></head>"}, [])
    stage.update_files(site("Second"), [])
    expect(page.locator("h1")).to_have_text("Second")
    assert page.evaluate("window.same") is None

    page.evaluate("window.same = true")
    stage.update_files({"elsewhere/index.html": b"<head></head>changed"}, [])
    stage.set_problems([Problem("a", 1, 1, "wrong", "right")])
    page.get_by_role("alert").wait_for()
    assert page.evaluate("window.same") is True


def test_problems_stand_over_the_page(page: Page, stage: ShownSite) -> None:
    """With place and mend, as plain text; until closed or mended, and for whoever comes later."""
    problem = Problem("bikes/a.yaml", 3, 7, "<b>mass</b> is missing", "Write its mass")
    panel = page.get_by_role("alert")
    stage.set_problems([problem])

    expect(panel).to_contain_text("bikes/a.yaml:3:7")
    expect(panel).to_contain_text("<b>mass</b> is missing.")
    expect(panel).to_contain_text("Write its mass.")
    assert panel.evaluate("panel => getComputedStyle(panel).position") == "fixed"
    page.reload()
    expect(panel).to_contain_text("bikes/a.yaml:3:7")

    page.get_by_role("button", name="Close").click()
    expect(panel).to_have_count(0)
    stage.set_problems([problem, Problem("bikes/b.yaml", 1, 1, "wrong", "right")])
    expect(panel).to_contain_text("2 problems")
    stage.set_problems([])
    expect(panel).to_have_count(0)
