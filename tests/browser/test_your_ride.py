""" "Your ride" on a bike's page: the form, the table of ranges, the address, and that the browser looks up what Python does."""

import math
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from generator.figures import show
from generator.figures.rides import ride_grid, ride_grid_build
from generator.figures.table.tabulate import tabulate
from tests.browser.watching import Watched, undisturbed, watched
from tests.figures import demo

pytestmark = pytest.mark.browser

SLUG = "neshwick-arrum"
PAGE = f"bikes/{SLUG}/index.html"


@pytest.fixture
def seen(browser: Browser, address: str) -> Iterator[Watched]:
    with undisturbed(browser, address + PAGE) as opened:
        yield opened


def opened(page: Page) -> Locator:
    """The table of results, once it is there."""
    page.locator("#ride > summary").click()
    rows = page.locator("#ride tbody tr")
    rows.first.wait_for()
    return rows


def test_it_loads_its_table_only_when_asked(seen: Watched) -> None:
    assert not [url for url in seen.requests if "/ride.js" in url and "bikes/" in url]
    opened(seen.page)
    assert [url for url in seen.requests if url.endswith(f"bikes/{SLUG}/ride.js")]


def test_as_usual_it_shows_the_published_figures(seen: Watched) -> None:
    """To each digit of value and interval, in both systems; own rides of this bike are in them."""
    rows = opened(seen.page)
    table = tabulate(demo.some(SLUG), demo.content())
    for number in range(5):
        figure = table.get(SLUG, f"range.rolling.level_{number + 1}")
        assert figure is not None
        for system in ("metric", "us"):
            mine = rows.nth(number).locator(f"td:nth-child(2) .u-{system}").inner_text()
            likely = show.join_unit(
                show.format_interval(figure, system), show.get_unit_symbol(figure.kind, system)
            )
            words = f"{show.format_figure(figure, system)}, likely {likely}"
            assert mine.strip("()").replace("\u00a0", " ") == words.replace("\u00a0", " ")
    expect(rows.nth(5)).to_contain_text("no range")
    expect(seen.page.locator("#ride [role=status]")).to_contain_text("Level 3")


def test_a_setting_moves_the_ranges_and_the_address(seen: Watched) -> None:
    """By keyboard: hillier is nearer; the address brings the same settings back, and Reset the first ones."""
    page = seen.page
    rows = opened(page)
    before = rows.nth(2).inner_text()
    hills = page.get_by_role("slider", name="Hills")
    hills.focus()
    page.keyboard.press("ArrowRight")
    expect(rows.nth(2)).not_to_have_text(before)
    assert float(rows.nth(2).locator("data").first.get_attribute("value") or 0.0) < 53e3
    after = rows.nth(2).inner_text()
    assert "#ride=80,80,2,0,1,0" in page.url
    page.reload()
    rows.first.wait_for()
    rows.nth(2).scroll_into_view_if_needed()  # what is out of sight is not laid out
    assert rows.nth(2).inner_text() == after
    page.get_by_role("button", name="Reset").click()
    assert rows.nth(2).inner_text() == before
    assert "#" not in page.url


def test_the_weight_is_kept_for_the_next_bike(browser: Browser, address: str) -> None:
    with watched(browser) as seen:
        seen.fresh(address + PAGE)
        opened(seen.page)
        seen.page.get_by_role("button", name="The keen rider").click()
        seen.fresh(address + "bikes/oskelm-talli/index.html")
        opened(seen.page)
        assert seen.page.get_by_role("slider", name="Weight").input_value() == "93"
        assert seen.page.get_by_role("slider", name="How hard").input_value() == "80"


def test_the_unit_switch_reaches_form_and_table(seen: Watched) -> None:
    opened(seen.page)
    seen.page.locator(".units button[data-show=us]").click()
    weight = seen.page.get_by_role("slider", name="Weight")
    assert (weight.get_attribute("aria-valuetext") or "").replace("\u00a0", " ") == "176 lb"
    assert "km" not in seen.page.locator("#ride tbody").inner_text()


def test_an_address_with_nonsense_is_as_usual(browser: Browser, address: str) -> None:
    with watched(browser) as seen:
        seen.fresh(address + PAGE + "#ride=9999,-1,7,7,1.5,x")
        rows = opened(seen.page)
        assert rows.count() == 6
        seen.fresh("about:blank")
        seen.fresh(address + PAGE + "#ride=9999,-1,7,7,1.5,9")
        rows.first.wait_for()
        assert seen.page.get_by_role("slider", name="Weight").input_value() == "80"
        assert seen.complaints == []


def test_the_browser_looks_up_what_python_does(seen: Watched) -> None:
    """Within 0.5 %: the file's logarithms are whole parts of 1/1000, weighted with sums above one."""
    table = ride_grid_build.compute_ride_grids(demo.some(SLUG), demo.content())[SLUG]
    opened(seen.page)
    settings = [
        {"mass": mass, "effort": effort, "hill": hill, "wind": wind, "warmth": warmth}
        for mass, effort, hill, wind, warmth in (
            (80, 80, 1, 0, 1), (61, 147, 0, 0, 0), (108, 95, 1, 1, 2), (72, 60, 2, 1, 0), (101, 150, 2, 0, 2),
        )
    ]  # fmt: skip
    found = seen.page.evaluate(
        """settings => guide.load('bikes/neshwick-arrum/ride.js').then(table =>
            settings.map(ride => table.levels.map(level => guide.rideLook(table, level, ride))))""",
        settings,
    )
    answered = 0
    for ride, levels in zip(settings, found, strict=True):
        for number, mine in enumerate(levels):
            known = ride_grid.look_up_ride(table, number, **ride)
            assert (known is None) == ("why" in mine)
            if known:
                assert math.isclose(mine["consumption"], known[0], rel_tol=0.005)
                assert math.isclose(mine["slowness"], known[1], rel_tol=0.005)
                answered += 1
    assert answered > 15


def test_it_fits_a_small_screen(browser: Browser, address: str) -> None:
    with watched(browser, "phone") as seen:
        seen.page.set_viewport_size({"width": 320, "height": 640})
        seen.fresh(address + PAGE)
        opened(seen.page)
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= 320
        for control in seen.page.locator("#ride :is(input, button)").all():
            box = control.bounding_box()
            assert box is not None
            assert min(box["width"], box["height"]) >= 24


def test_without_scripts_it_points_to_the_tables(browser: Browser, address: str) -> None:
    with watched(browser, java_script_enabled=False) as seen:
        seen.page.goto(address + PAGE)
        expect(seen.page.locator("#ride")).to_be_hidden()
        link = seen.page.locator("section[aria-labelledby=your-ride] a").first
        assert (link.get_attribute("href") or "").startswith("#family-range-")
