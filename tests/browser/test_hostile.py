"""A publication of which every text is an attack, read in a browser: nothing of theirs runs, nothing is asked of another host.

And links that somebody sends to readers: whatever an address says, the page shows itself and complains of nothing.
"""

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser

from generator.publish.build.build import build
from tests.browser.server import serving
from tests.browser.test_pages import WIDER_THAN_THE_SCREEN
from tests.browser.watching import Watched, watched
from tests.hostile import strings

pytestmark = pytest.mark.browser

PWNED = "[typeof pwned, typeof window.pwned, Object.prototype.hasOwnProperty('pwned')].join()"
ODD = "\"><img src=x onerror=pwned=1><script>pwned=2</script>'`javascript:pwned=3"
LOST = "error: Failed to load resource"
"""A picture `x` of theirs, beside the page, is not there; any other host is found among the requests."""
NAMES = ("__proto__", "constructor", "toString", "hasOwnProperty", ODD)


@pytest.fixture(scope="module")
def theirs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of the hostile publication."""
    root = strings.publication(tmp_path_factory.mktemp("theirs"))
    build(root)
    return root / "site"


@pytest.fixture(scope="module")
def served(theirs: Path) -> Iterator[str]:
    with serving(theirs) as where:
        yield where


def faults(seen: Watched, home: str) -> list[str]:
    """What a page that has been opened did that it must not do."""
    foreign = [url for url in seen.requests if not url.startswith((home, "data:", "blob:"))]
    ran = seen.page.evaluate(PWNED)
    return [
        *(said for said in seen.complaints if not said.startswith(LOST)),
        *(f"asks for {url}" for url in foreign),
        *(f"policy: {what}" for what in seen.violations()),
        *([] if ran == "undefined,undefined,false" else [f"ran: {ran}"]),
    ]


def pages(site: Path) -> list[str]:
    return sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))


def test_no_script_of_theirs_runs(browser: Browser, theirs: Path, served: str) -> None:
    """Every page, on a phone, from a host; nothing of it hangs over the edge either."""
    found: dict[str, list[str]] = {}
    with watched(browser, "phone") as seen:
        for path in pages(theirs):
            seen.fresh(served + path)
            wide = seen.page.evaluate(WIDER_THAN_THE_SCREEN)
            found[path] = [*faults(seen, served), *(f"off the screen: {what}" for what in wide)]

    assert len(found) > 40
    assert not {path: each for path, each in found.items() if each}


def test_no_script_of_theirs_runs_from_a_disk(browser: Browser, theirs: Path) -> None:
    found: dict[str, list[str]] = {}
    with watched(browser) as seen:
        for path in pages(theirs):
            seen.fresh((theirs / path).as_uri())
            found[path] = faults(seen, theirs.as_uri())

    assert not {path: each for path, each in found.items() if each}


def test_every_script_meets_their_words(browser: Browser, theirs: Path, served: str) -> None:
    """Opened to explore, searched, compared, filtered, corrected: the data of the site reach every script."""
    with watched(browser) as seen:
        for path in ("bikes/constructor/index.html", "bikes/index/index.html"):
            seen.fresh(served + path)
            for button in seen.page.locator("[data-chart] button").all():
                if button.is_visible():
                    button.click()
            seen.page.wait_for_timeout(500)
            assert faults(seen, served) == []
        for words in ("script", "pwned", "constructor", "__proto__", "<img"):
            seen.fresh(f"{served}search/index.html?q={quote(words)}")
            seen.page.wait_for_timeout(300)
            assert faults(seen, served) == []
        for path in (
            "compare/index.html?bikes=constructor,index,prototype,hasownproperty",
            "contribute/index.html?bike=constructor",
            "bikes/index.html?use=touring&spec.mass=1~90",
        ):
            seen.fresh(served + path)
            seen.page.wait_for_timeout(500)
            assert "pwned" in seen.page.inner_text("main") or path.startswith("contribute")
            assert faults(seen, served) == []


def test_no_address_does_anything(browser: Browser, theirs: Path, served: str) -> None:
    """Links with odd names in their query or fragment, to every page that reads one."""
    asked = []
    for name in NAMES:
        word = quote(name)
        asked += [
            f"bikes/index.html?{word}=1..2&use={word}&sort={word}",
            f"bikes/index.html?sort=-{word}",
        ]
        asked += [f"compare/index.html?bikes={word},index", f"contribute/index.html?bike={word}"]
        asked += [f"choose/index.html?{word}=1&use={word}&w={word}9&budget={word}"]
        asked += [
            f"search/index.html?q={word}",
            f"index.html#{word}",
            f"bikes/index/index.html#ride={word}",
        ]
    found: dict[str, list[str]] = {}
    with watched(browser) as seen:
        for path in asked:
            seen.fresh(served + path)
            seen.page.wait_for_timeout(60)
            found[path] = faults(seen, served)

    assert not {path: each for path, each in found.items() if each}


def test_the_canary_is_awake(browser: Browser, served: str) -> None:
    """The check above can fail: what runs is seen."""
    with watched(browser) as seen:
        seen.fresh(served)
        seen.page.evaluate("window.pwned = 1")

        assert faults(seen, served) == ["ran: number,number,false"]
