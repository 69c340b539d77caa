"""Every kind of page in a real browser, at two widths, in light and in dark."""

from pathlib import Path
from typing import Any

import axe_playwright_python
import pytest
from playwright.sync_api import Browser, Page

from tests.browser.watching import watched

pytestmark = pytest.mark.browser

AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text("utf-8")

WIDER_THAN_THE_SCREEN = """() => {
  const across = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= across) return [];
  return [...document.body.querySelectorAll('*')]
    .filter(element => element.getBoundingClientRect().right > across + 0.5)
    .slice(0, 5)
    .map(element => element.tagName.toLowerCase() + '.' + element.className);
}"""


def accessibility_faults(page: Page) -> list[str]:
    """What axe finds wrong, with the first place of each."""
    found: dict[str, Any] = page.evaluate(
        AXE + "\n;axe.run(document, {resultTypes: ['violations']})"
    )
    return [
        f"{fault['id']} ({len(fault['nodes'])}): {fault['nodes'][0]['html'][:160]}"
        for fault in found["violations"]
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", ["phone", "desk"])
def test_every_kind_of_page(
    browser: Browser, address: str, one_of_each: list[str], width: str, scheme: str
) -> None:
    """No complaint, no foreign address, nothing off the screen, nothing that axe objects to."""
    faults: dict[str, list[str]] = {}
    with watched(browser, width, scheme) as seen:
        for path in one_of_each:
            seen.fresh(address + path)
            foreign = [
                url for url in seen.requests if not url.startswith((address, "data:", "blob:"))
            ]
            faults[path] = [
                *seen.complaints,
                *(f"asks for {url}" for url in foreign),
                *(f"policy: {what}" for what in seen.violations()),
                *(f"off the screen: {what}" for what in seen.page.evaluate(WIDER_THAN_THE_SCREEN)),
                *accessibility_faults(seen.page),
            ]

    assert len(faults) >= 6
    assert not {path: found for path, found in faults.items() if found}


def test_axe_is_awake(browser: Browser) -> None:
    """The check above can fail: axe objects to a picture without words."""
    with watched(browser) as seen:
        seen.page.set_content('<html lang="en"><title>t</title><main><img src="data:,"></main>')

        assert any(fault.startswith("image-alt") for fault in accessibility_faults(seen.page))


def test_the_policy_is_awake(browser: Browser, address: str) -> None:
    """The check above can fail: the served policy refuses an inline script."""
    with watched(browser) as seen:
        seen.fresh(address)
        seen.page.evaluate(
            """() => {
              const script = document.createElement('script');
              script.textContent = 'window.ran = true';
              document.head.append(script);
            }"""
        )

        assert seen.page.evaluate("window.ran") is None
        assert seen.violations()
