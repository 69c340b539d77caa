"""Prices and paid links as a reader meets them: told before the link, in words, at the size of the text."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from generator.content.money.read import minor_digits
from tests.browser.watching import watched

pytestmark = pytest.mark.browser

PRICES = "bikes/oskelm-talli/prices/index.html"

TOLD = """() => [...document.querySelectorAll('a[rel~=sponsored]')].map(link => {
  const told = document.querySelector('main .disclosure');
  const label = link.parentElement.querySelector('.shop__label');
  const box = told.getBoundingClientRect();
  return {
    before: !!(told.compareDocumentPosition(link) & Node.DOCUMENT_POSITION_FOLLOWING),
    above: box.top < link.getBoundingClientRect().top && box.height > 20 && told.checkVisibility({checkOpacity: true}),
    sizes: [told, label].every(each => parseFloat(getComputedStyle(each).fontSize) >= 16),
    label: label.textContent,
  };
})"""


@pytest.mark.parametrize("width", ["phone", "desk"])
@pytest.mark.parametrize("path", [PRICES, "prices/index.html", "about/index.html"])
def test_readers_are_told_before_the_link(
    browser: Browser, address: str, path: str, width: str
) -> None:
    with watched(browser, width) as seen:
        seen.fresh(address + path)
        links = seen.page.evaluate(TOLD)
        assert links
        for link in links:
            assert link["before"]
            assert link["above"]
            assert link["sizes"]
            assert "we earn if you buy" in link["label"] or "lent us" in link["label"]


def test_from_the_bikes_to_the_prices_and_back(browser: Browser, address: str) -> None:
    with watched(browser) as seen:
        seen.fresh(address + "bikes/index.html")
        seen.page.get_by_role("link", name="Prices seen at sellers").click()
        seen.page.get_by_role("link", name="Oskelm Talli", exact=True).click()
        assert seen.page.url.endswith(PRICES)
        seen.page.get_by_role("link", name="The Oskelm Talli and its figures").click()
        seen.page.get_by_role("link", name="Prices seen").click()
        assert seen.page.url.endswith(PRICES)
        assert not seen.complaints


def test_minor_units_are_those_of_the_standard(browser: Browser) -> None:
    """ECMA-402 takes the digits of a currency (CurrencyDigits) from ISO 4217; the browser is the reference.

    Left out are HUF and IQD: browsers show them without decimals, as is the custom; the standard has 2 and 3 (from
    memory).
    """
    with watched(browser) as seen:
        digits = seen.page.evaluate(
            """codes => codes.map(currency =>
              new Intl.NumberFormat('en', {style: 'currency', currency}).resolvedOptions().maximumFractionDigits)""",
            CODES,
        )
    assert dict(zip(CODES, digits, strict=True)) == {code: minor_digits(code) for code in CODES}


CODES = (
    "AUD", "BHD", "BIF", "BRL", "CAD", "CHF", "CLF", "CLP", "CNY", "CZK", "DJF", "DKK",
    "EUR", "GBP", "GNF", "INR", "ISK", "JOD", "JPY", "KMF", "KRW", "KWD", "LYD", "MXN",
    "NOK", "NZD", "OMR", "PLN", "PYG", "RWF", "SEK", "SGD", "TND", "TRY", "UGX", "USD",
    "UYI", "UYW", "VND", "VUV", "XAF", "XOF", "XPF", "ZAR",
)  # fmt: skip
"""Currencies of all four sizes of minor unit, and the most traded ones."""


def test_nothing_on_the_demo_links_out_unmarked(site: Path) -> None:
    """Every page that leads to the shop which pays has the disclosure; read without our own parser."""
    pages = [
        path for path in site.rglob("*.html") if "://quay-wheels.example" in path.read_text("utf-8")
    ]
    assert len(pages) >= 7
    for path in pages:
        text = path.read_text("utf-8")
        assert text.index('class="disclosure"') < text.index("://quay-wheels.example"), path
        assert text.count("://quay-wheels.example") == text.count("(paid link: we earn if you buy)")
