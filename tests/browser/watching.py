"""A page that is watched: everything it complains of, and every address it asks for."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from playwright.sync_api import Browser, ConsoleMessage, Page, Request

WIDTHS = {"phone": (360, 740), "desk": (1280, 800)}

LISTEN = """
window.violations = [];
document.addEventListener('securitypolicyviolation',
  event => violations.push(event.violatedDirective + ' ' + event.blockedURI));
"""


@dataclass
class Watched:
    page: Page
    complaints: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)

    def fresh(self, url: str) -> None:
        """Forget what was seen, and open `url`."""
        self.complaints.clear()
        self.requests.clear()
        self.page.goto(url, wait_until="load")

    def violations(self) -> list[str]:
        found: list[str] = self.page.evaluate("window.violations")
        return found


@contextmanager
def undisturbed(browser: Browser, url: str) -> Iterator[Watched]:
    """The page at `url`, which has nothing to complain of from first to last."""
    with watched(browser) as seen:
        seen.fresh(url)
        yield seen
        assert seen.complaints == []
        assert seen.violations() == []


@contextmanager
def watched(
    browser: Browser, width: str = "desk", scheme: Any = "light", **context: Any
) -> Iterator[Watched]:
    """A page of its own context; `width` is a key of WIDTHS, `scheme` is light or dark."""
    across, down = WIDTHS[width]
    opened = browser.new_context(
        viewport={"width": across, "height": down}, color_scheme=scheme, **context
    )
    page = opened.new_page()
    page.add_init_script(LISTEN)
    seen = Watched(page)

    def hear(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            seen.complaints.append(f"{message.type}: {message.text}")

    def note(request: Request) -> None:
        seen.requests.append(request.url)

    page.on("console", hear)
    page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    page.on("request", note)
    yield seen
    opened.close()
