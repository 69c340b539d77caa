"""Charts to explore: loaded when asked for and not before, under the policy, by keyboard and in the reader's units."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.test_pages import WIDER_THAN_THE_SCREEN, accessibility_faults
from tests.browser.watching import Watched, watched

pytestmark = pytest.mark.browser

HILL = "guides/will-it-climb-my-hill/index.html"
"""A page with a chart of speed against grade."""

ON_REQUEST = ("vega.js", "explore.js", "chart-forms.js", "curves.js", "prices-")


def loaded(seen: Watched) -> list[str]:
    """What was asked for of that which is loaded on request only."""
    return [url for url in seen.requests if any(part in url for part in ON_REQUEST)]


def explored(page: Page) -> Locator:
    """The first chart of the page, opened for exploring."""
    chart = page.locator("figure[data-chart]").first
    chart.get_by_role("button", name="Explore this chart").click()
    chart.locator(".live__picture svg").wait_for()
    return chart


def read(chart: Locator) -> str:
    """The reading, in one line."""
    return " ".join(chart.get_by_role("status").last.inner_text().split())


@pytest.mark.parametrize(
    "path", [HILL, "compare/index.html", "index.html", "bikes/pellimor-fenno/index.html"]
)
def test_the_chart_library_is_not_loaded_unless_asked_for(
    browser: Browser, address: str, path: str
) -> None:
    """Not by opening a page, nor by reading it to its end."""
    with watched(browser) as seen:
        seen.fresh(address + path)
        seen.page.mouse.wheel(0, 20_000)
        seen.page.wait_for_timeout(300)

        assert loaded(seen) == []


def test_a_chart_is_explored_under_the_policy(browser: Browser, address: str) -> None:
    """No violation, no complaint, nothing that axe objects to or that is off a small screen; the library comes once."""
    with watched(browser, "phone", "dark") as seen:
        seen.fresh(address + "guides/hub-or-mid/index.html")
        for chart in seen.page.locator("figure[data-chart]").all()[:2]:
            chart.get_by_role("button", name="Explore this chart").click()
            chart.locator(".live__picture svg").wait_for()

        assert seen.violations() == []
        assert seen.complaints == []
        assert accessibility_faults(seen.page) == []
        assert seen.page.evaluate(WIDER_THAN_THE_SCREEN) == []
        assert sum("vega.js" in url for url in seen.requests) == 1
        assert seen.page.evaluate("document.getAnimations().length") == 0


def test_the_library_leaves_two_names(browser: Browser, address: str) -> None:
    """A classic script without a wrapper would leave hundreds, some of one letter."""
    with watched(browser) as seen:
        seen.fresh(address + HILL)
        before = set(seen.page.evaluate("Object.keys(window)"))
        explored(seen.page)
        after = set(seen.page.evaluate("Object.keys(window)"))

        assert after - before == {"vega", "vegaEmbed"}
        assert seen.page.evaluate("typeof p + typeof n + typeof t") == "undefined" * 3


def test_arrow_keys_move_the_reading(browser: Browser, address: str) -> None:
    """One grade further, and the speed read there is that of the table of numbers drawn."""
    with watched(browser) as seen:
        seen.fresh(address + HILL)
        chart = explored(seen.page)
        slider = chart.get_by_role("slider")
        expect(slider).to_be_focused()
        seen.page.keyboard.press("Home")
        first = read(chart)
        seen.page.keyboard.press("ArrowRight")
        second = read(chart)
        table = chart.locator("table.data tbody tr").first.locator("td").last.text_content() or ""

        assert first.startswith("Grade 0.0 %")
        assert second.startswith("Grade 1.0 %")
        assert slider.get_attribute("aria-valuetext") == "1.0\N{NO-BREAK SPACE}%"
        drawn = re.search(r"[\d.]+", table)
        assert drawn is not None
        assert f"{drawn[0]} km/h" in first


def test_the_pointer_moves_the_reading(browser: Browser, address: str) -> None:
    with watched(browser) as seen:
        seen.fresh(address + HILL)
        chart = explored(seen.page)
        picture = chart.locator(".live__picture svg")
        box = picture.bounding_box()
        assert box is not None
        reading = chart.get_by_role("status")
        picture.hover(position={"x": box["width"] - 6, "y": box["height"] / 2}, force=True)
        expect(reading).to_contain_text(re.compile(r"Grade [12]\d"))
        picture.hover(position={"x": 45, "y": box["height"] / 2}, force=True)
        expect(reading).to_contain_text(re.compile(r"Grade [01]\b"))


def test_series_can_be_hidden(browser: Browser, address: str) -> None:
    """Its line and its words go; the button says so without colour; all may be hidden."""
    with watched(browser) as seen:
        seen.fresh(address + HILL)
        chart = explored(seen.page)
        buttons = chart.get_by_role("group").get_by_role("button")
        lines = chart.locator(".live__picture svg .mark-line path")
        whole = lines.count()
        name = buttons.first.inner_text().strip()
        buttons.first.click()
        expect(lines).to_have_count(whole - 1)

        assert buttons.first.get_attribute("aria-pressed") == "false"
        assert name not in chart.locator("dl").inner_text()
        for button in buttons.all()[1:]:
            button.click()
        assert read(chart) == "Nothing is shown."
        assert seen.complaints == []


def test_axes_follow_the_units(browser: Browser, address: str) -> None:
    with watched(browser) as seen:
        seen.fresh(address + HILL)
        chart = explored(seen.page)
        picture = chart.locator(".live__picture svg")
        expect(picture).to_contain_text("Speed, km/h")
        seen.page.get_by_role("button", name="US", exact=True).click()

        expect(picture).to_contain_text("Speed, mph")
        assert "mph" in read(chart)
        assert "km/h" not in read(chart)


def test_colours_are_those_of_the_scheme(browser: Browser, address: str) -> None:
    """Also when the scheme changes while the chart is open."""
    with watched(browser) as seen:
        seen.fresh(address + HILL)
        chart = explored(seen.page)
        line = chart.locator(".live__picture svg .mark-line path").first
        token = "getComputedStyle(document.documentElement).getPropertyValue('--series-1').trim()"
        light = seen.page.evaluate(token)
        expect(line).to_have_attribute("stroke", light)
        seen.page.emulate_media(color_scheme="dark")
        dark = seen.page.evaluate(token)

        assert dark != light
        expect(line).to_have_attribute("stroke", dark)


def test_back_to_the_still_picture(browser: Browser, address: str) -> None:
    """The page is as it was, and the focus where it came from; again costs no second load."""
    with watched(browser) as seen:
        seen.fresh(address + HILL)
        chart = explored(seen.page)
        still = chart.locator(".chart__plate")
        expect(still).to_be_hidden()
        chart.get_by_role("button", name="Back to the still picture").click()

        expect(still).to_be_visible()
        expect(chart.locator(".live")).to_have_count(0)
        expect(chart.get_by_role("button", name="Explore this chart")).to_be_focused()
        explored(seen.page)
        assert sum("vega.js" in url for url in seen.requests) == 1


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("guides/how-far-will-it-go/index.html", r"^Level \w+ .*likely \d+–\d+ km"),
        ("guides/can-my-legs-keep-up/index.html", r"^Speed [\d.]+ km/h .* rpm"),
        ("guides/how-the-motor-knows/index.html", r"^Rider's power \d+ W .* \d+ W"),
        ("compare/index.html", r"Price [\d\u202f]+ [A-Z]{3} Range [\d.]+ km, likely"),
    ],
)
def test_every_form_can_be_read(browser: Browser, address: str, path: str, said: str) -> None:
    with watched(browser) as seen:
        seen.fresh(address + path)
        chart = explored(seen.page)

        assert re.search(said, read(chart)), read(chart)
        assert seen.complaints == []
        assert seen.violations() == []


def test_a_chart_can_be_explored_from_a_disk(browser: Browser, site: Path) -> None:
    with watched(browser) as seen:
        seen.fresh((site / HILL).as_uri())
        explored(seen.page)

        assert seen.violations() == []
        assert seen.complaints == []


def test_without_scripts_the_still_picture_is_all(browser: Browser, address: str) -> None:
    with watched(browser, java_script_enabled=False) as seen:
        seen.fresh(address + HILL)
        chart = seen.page.locator("figure[data-chart]").first

        expect(chart.locator(".chart__plate svg")).to_be_visible()
        expect(chart.get_by_role("button")).to_have_count(0)
        assert loaded(seen) == []


def test_a_library_that_does_not_come_is_said(browser: Browser, address: str) -> None:
    """The still picture stays."""
    with watched(browser) as seen:
        seen.page.route("**/vega.js", lambda route: route.abort())
        seen.fresh(address + HILL)
        chart = seen.page.locator("figure[data-chart]").first
        chart.get_by_role("button", name="Explore this chart").click()

        expect(chart.locator(".chart__explore")).to_contain_text("could not be loaded")
        expect(chart.locator(".chart__plate svg")).to_be_visible()
