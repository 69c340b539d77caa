"""Lists of bikes in a browser: filters and order against Python, addresses, units, keyboard, and a thousand bikes."""

from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from generator.pages.compare import bike_cards
from generator.pages.compare.pairs import BikePairs
from generator.pages.frame import assets
from generator.pages.frame.renderer import Renderer
from generator.pages.lists import bike_lists, bike_table
from tests.browser.filter_questions import ASKED, PAGE, of
from tests.browser.test_pages import WIDER_THAN_THE_SCREEN, accessibility_faults
from tests.browser.watching import watched
from tests.figures import demo
from tests.pages import site_example as example
from tests.pages.rendered import outputs_of

pytestmark = pytest.mark.browser

SLUGS = "rows => rows.map(row => row.dataset.slug)"


def filtered(page: Page, url: str) -> None:
    page.goto(url)
    page.locator("#filter[data-ready]").wait_for()
    page.locator("#catalogue[data-shown]").wait_for()


def searched(page: Page, search: str) -> None:
    """The same list with another address, without loading the page again."""
    page.evaluate(
        """search => {
          delete document.getElementById('catalogue').dataset.shown;
          history.replaceState(null, '', location.pathname + search);
          dispatchEvent(new PopStateEvent('popstate'));
        }""",
        search,
    )
    page.locator("#catalogue[data-shown]").wait_for()


def slugs(page: Page) -> list[str]:
    found: list[str] = page.locator("#catalogue tbody tr").evaluate_all(SLUGS)
    return found


def test_filters_find_what_python_finds(browser: Browser, address: str) -> None:
    """The same bikes in the same order, and the count says how many of how many."""
    listed = bike_table.sort_bikes(demo.bikes(), "EUR")
    with watched(browser) as seen:
        opened = ""
        for one in ASKED:
            own = [bike for bike in listed if one.page == PAGE or "city" in bike.uses]
            expected = [bike.slug for bike in own if one.fits(bike)]
            if one.page == opened:
                searched(seen.page, one.search)
            else:
                filtered(seen.page, address + one.page + one.search)
                opened = one.page

            assert slugs(seen.page) == expected, one.search
            count = seen.page.locator("#count").inner_text()
            assert count == f"{len(expected)} of {len(own)} bikes", one.search
        assert not seen.complaints
    assert len(ASKED) > 15


def test_rows_are_those_of_the_build(browser: Browser, address: str) -> None:
    """A row made from data prints and links what the built row does, cell by cell."""
    cells = """rows => Object.fromEntries(rows.map(row => [row.dataset.slug, [...row.cells].slice(0, 8).map(cell =>
      cell.textContent.replace(/\\s+/g, ' ').trim() + ' ' + (cell.querySelector('a')?.href ?? '')
      + ' ' + Number(cell.querySelector('data')?.value))]))"""
    with watched(browser) as seen:
        seen.fresh(address + PAGE)
        built = seen.page.locator("#catalogue tbody tr").evaluate_all(cells)
        filtered(seen.page, f"{address}{PAGE}?sort=name")
        made = seen.page.locator("#catalogue tbody tr").evaluate_all(cells)

    assert made == built
    assert list(made) != list(built)


@pytest.mark.parametrize("down", [False, True])
def test_order(browser: Browser, address: str, down: bool) -> None:
    """By the SI value; what is not known last; prices in the publication's currency before those in others."""
    with watched(browser) as seen:
        filtered(seen.page, f"{address}{PAGE}?sort={'-' if down else ''}range.rolling")
        ranges = [of(demo.bike(slug), "range.rolling") for slug in slugs(seen.page)]
        filtered(seen.page, f"{address}{PAGE}?sort={'-' if down else ''}spec.price")
        prices = [demo.bike(slug).price for slug in slugs(seen.page)]
        head = seen.page.locator("[data-key='spec.price']")

        assert head.get_attribute("aria-sort") == ("descending" if down else "ascending")
    known = [each.value for each in ranges if each]
    assert known == sorted(known, reverse=down)
    assert None not in ranges[: len(known)]
    currencies = [price.currency for price in prices if price]
    own = [price.amount for price in prices if price and price.currency == "EUR"]
    assert currencies[: len(own)] == ["EUR"] * len(own)
    assert own == sorted(own, reverse=down)


def test_by_hand_and_back(browser: Browser, address: str) -> None:
    """By keyboard: a filter, a figure as a column with a limit, other units, back, reset; the address follows."""
    with watched(browser) as seen:
        page = seen.page
        seen.fresh(address + PAGE)
        before = slugs(page)
        page.locator(".catalogue__filters summary").focus()
        page.keyboard.press("Enter")
        page.locator("#filter[data-ready]").wait_for()
        page.locator("#f-sensor").focus()
        page.keyboard.type("torque")
        page.keyboard.press("Tab")
        expect(page.locator("#count")).to_have_text("18 of 30 bikes")
        assert page.url.endswith("?sensor=torque")
        page.locator("#more-figures").select_option("energy.rolling")
        page.locator("#add-figure").focus()
        page.keyboard.press("Enter")
        expect(page.locator("thead [data-key='energy.rolling']")).to_be_visible()
        expect(page.locator("#meanings")).to_contain_text("Consumption, the tramway loop")
        assert page.evaluate("document.activeElement.dataset.id") == "energy.rolling"
        page.keyboard.press("Tab")
        page.keyboard.type("6")
        page.keyboard.press("Enter")
        expect(page.locator("#count")).not_to_have_text("18 of 30 bikes")
        assert page.url.endswith("?sensor=torque&energy.rolling=..6")
        assert page.locator("tbody td:last-child").first.inner_text().count("likely") == 1
        limited = slugs(page)
        page.get_by_role("button", name="US", exact=True).click()
        expect(page.locator("[data-id='energy.rolling'][data-edge='1']")).to_have_value("9.7")
        assert page.url.endswith("?sensor=torque&energy.rolling=..9.7&in=us")
        page.get_by_role("button", name="Both", exact=True).click()
        assert slugs(page) == limited
        page.get_by_role("button", name="Reset").click()
        expect(page.locator("#count")).to_have_text("30 bikes")
        assert slugs(page) == before
        assert "?" not in page.url
        page.go_back()
        expect(page.locator("#f-sensor")).to_have_value("torque")
        expect(page.locator("thead [data-key='energy.rolling']")).to_be_visible()
        assert not seen.complaints


def test_no_bike_fits(browser: Browser, address: str) -> None:
    """The list says which filter to loosen and how many bikes there would be then, and does it."""
    with watched(browser) as seen:
        page = seen.page
        filtered(page, f"{address}{PAGE}?sensor=cadence&spec.mass=..10")
        advice = page.locator("#loosen button")

        assert slugs(page) == []
        assert advice.all_inner_texts() == ["Mass: to 10 kg (then 10)"]
        advice.click()
        expect(page.locator("#count")).to_have_text("10 of 30 bikes")
        assert page.url.endswith("?sensor=cadence&spec.mass=..")
        filtered(page, f"{address}{PAGE}?range.rolling=900..&spec.mass=..5")
        expect(page.locator("#loosen")).to_contain_text("no single filter is to blame")


@pytest.mark.parametrize(("width", "scheme"), [("phone", "dark"), ("desk", "light")])
def test_open_filters_are_accessible(
    browser: Browser, address: str, width: str, scheme: str
) -> None:
    """Axe with filters and meanings open and bikes ticked; nothing beside the screen, at 320 px neither."""
    with watched(browser, width, scheme) as seen:
        page = seen.page
        filtered(page, f"{address}{PAGE}?sensor=torque&range.hilly=10..&sort=-spec.mass")
        page.evaluate("document.querySelectorAll('main details').forEach(one => one.open = true)")
        page.locator(".catalogue__pick input").first.check()

        assert not accessibility_faults(page)
        assert not page.evaluate(WIDER_THAN_THE_SCREEN)
        assert not [*seen.violations(), *seen.complaints]
        page.set_viewport_size({"width": 320, "height": 700})
        assert not page.evaluate(WIDER_THAN_THE_SCREEN)


@pytest.fixture
def long_list(tmp_path: Path) -> Path:
    """A list of 205 bikes over three pages, whose ranges do not follow their prices."""
    bikes = tuple(example.bike(f"invor-n{number:03}", 1000.0 + number) for number in range(205))
    kind = example.KINDS[0]
    figures = {
        bike.slug: {kind.id: example.figure(bike.slug, kind, value, 0.9 * value, 1.1 * value)}
        for number, bike in enumerate(bikes)
        for value in [1000.0 * (number * 37 % 205 + 1)]
    }
    renderer = Renderer(replace(example.table(bikes), figures=figures), example.CONTENT, tmp_path)
    for one in (
        *outputs_of(renderer, bike_lists.plan_jobs(renderer, BikePairs(bikes))),
        *bike_cards.outputs(renderer),
        *assets.outputs(tmp_path),
    ):
        path = tmp_path / one.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(one.data)
    return tmp_path


def test_a_long_list_is_sorted_as_a_whole(browser: Browser, long_list: Path) -> None:
    """From the second page: the order is that of all bikes, a hundred rows at a time; undone, the page is as built."""
    by_range = sorted(range(205), key=lambda number: number * 37 % 205)
    with watched(browser) as seen:
        page = seen.page
        page.goto((long_list / "bikes/page-2/index.html").as_uri())
        assert slugs(page)[0] == "invor-n100"
        page.locator("[data-key='range.rolling'] button").click()
        expect(page.locator("#count")).to_have_text("205 of 205 bikes, the first 100 shown")
        assert slugs(page) == [f"invor-n{number:03}" for number in by_range[:100]]
        assert not page.locator("#pages").is_visible()
        page.get_by_role("button", name="Show 100 more").click()
        page.get_by_role("button", name="Show 5 more").click()
        assert slugs(page) == [f"invor-n{number:03}" for number in by_range]
        page.locator(".catalogue__filters summary").click()
        page.get_by_role("button", name="Reset").click()
        expect(page.locator("#count")).to_have_text("101–200 of 205 bikes")
        assert slugs(page)[0] == "invor-n100"
        assert page.locator("#pages").is_visible()


def test_without_scripts(browser: Browser, site: Path) -> None:
    """All bikes stand in the page, and no dead form."""
    with watched(browser, java_script_enabled=False) as seen:
        seen.page.goto((site / PAGE).as_uri())

        assert seen.page.locator("#catalogue tbody tr").count() == len(demo.bikes())
        assert not seen.page.locator("#filter").is_visible()
        assert not seen.page.locator(".catalogue__filters summary").is_visible()


def test_from_disk(browser: Browser, site: Path) -> None:
    """Opened from a folder the list filters too."""
    with watched(browser) as seen:
        filtered(seen.page, (site / PAGE).as_uri() + "?motor=mid")

        assert seen.page.locator("#count").inner_text() == "10 of 30 bikes"
        assert not seen.complaints
