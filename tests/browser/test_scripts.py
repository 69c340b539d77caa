"""What scripts add to a page that is whole without them: units, sorting, workings that open."""

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.watching import watched

pytestmark = pytest.mark.browser


def test_units_can_be_chosen_and_are_remembered(browser: Browser, address: str) -> None:
    """One system alone stands without brackets; the choice holds on the next page."""
    with watched(browser) as seen:
        seen.fresh(f"{address}bikes/index.html")
        cell = seen.page.locator("td data.figure:has(.u-us)").first
        both = cell.inner_text()
        seen.page.get_by_role("button", name="US", exact=True).click()
        alone = cell.inner_text()
        seen.fresh(f"{address}bikes/index.html")
        again = seen.page.locator("td data.figure:has(.u-us)").first.inner_text()
        seen.page.get_by_role("button", name="Both", exact=True).click()
        restored = seen.page.locator("td data.figure:has(.u-us)").first.inner_text()

    assert "(" in both
    assert alone == again
    assert "(" not in alone
    assert f"({alone.strip()})" in both
    assert restored == both


def column(page: Page, place: int) -> list[str | None]:
    """SI values of a column of the first table, None where a bike has none."""
    found: list[str | None] = page.evaluate(
        """place => [...document.querySelector('table.figures').tBodies[0].rows]
          .map(row => row.cells[place].querySelector('data')?.value ?? null)""",
        place,
    )
    return found


def test_a_table_sorts_by_its_heads(browser: Browser, address: str) -> None:
    """Up, then down, by the SI value; what is not known stays last; the head says which way."""
    with watched(browser) as seen:
        seen.fresh(f"{address}uses/city/index.html")
        heads = seen.page.locator("table.figures").first.locator("thead th")
        heads.nth(2).get_by_role("button").click()
        expect(heads.nth(2)).to_have_attribute("aria-sort", "ascending")
        up = column(seen.page, 2)
        heads.nth(2).get_by_role("button").click()
        expect(heads.nth(2)).to_have_attribute("aria-sort", "descending")
        down = column(seen.page, 2)

    known = [float(value) for value in up if value is not None]
    assert len(known) > 3
    assert known == sorted(known)
    assert [float(value) for value in down if value is not None] == sorted(known, reverse=True)
    for values in (up, down):
        assert None not in values[: len(known)]


def test_a_link_to_a_number_opens_its_working(browser: Browser, address: str) -> None:
    """From the table of bikes to the formula, in one step."""
    with watched(browser) as seen:
        seen.fresh(f"{address}bikes/index.html")
        seen.page.locator("td a.fig[href*='fig-range']").first.click()
        seen.page.wait_for_load_state()
        fragment = seen.page.url.split("#")[1]
        working = seen.page.locator(f"[id='{fragment}']")

        assert working.get_attribute("open") is not None
        assert working.locator(".formula").is_visible()
