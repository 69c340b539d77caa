"""The counter of violations, on which other tests rely, counts: what is put into built pages is refused and seen.

Served, the policy of the header and of the page hold together; from a disk there is the page's alone. Directives: Content
Security Policy Level 3, sections 6.1 to 6.4.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from generator.publish.build.build import build
from tests.browser.server import serving
from tests.browser.watching import watched
from tests.publish.conftest import publication

pytestmark = pytest.mark.browser

INJECTED = {
    "<style>p { color: red }</style>": "style-src",
    '<p style="color: red">x</p>': "style-src",
    "<script>window.ran = 1</script>": "script-src",
    '<svg onload="window.ran = 1"></svg>': "script-src",
    '<script src="https://evil.test/x.js"></script>': "script-src",
    '<link rel="stylesheet" href="https://evil.test/x.css">': "style-src",
    '<img src="https://evil.test/x.png" alt="">': "img-src",
    '<iframe src="https://evil.test/" title="x"></iframe>': "frame-src",
    '<object data="https://evil.test/x.svg"></object>': "object-src",
    '<video src="https://evil.test/x.mp4"></video>': "media-src",
    '<base href="https://evil.test/">': "base-uri",
}


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = publication(tmp_path_factory.mktemp("policy") / "publication")
    build(root)
    return root / "site"


@pytest.fixture(scope="module")
def kinds(small: Path) -> list[str]:
    """A page of each kind: one of every folder, and of every depth in it."""
    pages = sorted(path.relative_to(small).as_posix() for path in small.rglob("*.html"))
    chosen = {(page.split("/")[0], page.count("/")): page for page in pages}
    return sorted(chosen.values())


@pytest.fixture
def spoilt(small: Path) -> Iterator[Path]:
    """The site, whose pages are as they were once the test is over."""
    before = {path: path.read_bytes() for path in small.rglob("*.html")}
    yield small
    for path, data in before.items():
        path.write_bytes(data)


def seen_on(browser: Browser, pages: list[str]) -> dict[str, list[str]]:
    """Violations of each page, by address, and a word for what ran."""
    found: dict[str, list[str]] = {}
    with watched(browser) as seen:
        seen.page.route("https://evil.test/**", lambda route: route.abort())
        for address in pages:
            seen.fresh(address)
            ran = ["ran"] if seen.page.evaluate("window.ran") else []
            found[address] = [*seen.violations(), *ran]
    return found


@pytest.mark.parametrize("from_disk", [False, True])
def test_pages_as_built_violate_nothing(
    browser: Browser, small: Path, kinds: list[str], from_disk: bool
) -> None:
    """The zero against which the others count."""
    with serving(small) as address:
        pages = [(small / page).as_uri() if from_disk else address + page for page in kinds]
        found = seen_on(browser, pages)

    assert len(found) > 12
    assert not {page: each for page, each in found.items() if each}


@pytest.mark.parametrize("from_disk", [False, True])
@pytest.mark.parametrize("what", INJECTED)
def test_what_is_put_into_a_page_is_counted(
    browser: Browser, spoilt: Path, kinds: list[str], what: str, from_disk: bool
) -> None:
    """On every kind of page, under the directive that forbids it; and it does not run."""
    for page in kinds:
        text = (spoilt / page).read_text("utf-8")
        head = what.startswith(("<base", "<link"))
        place = "</head>" if head else "</body>"
        assert place in text, page
        (spoilt / page).write_text(text.replace(place, what + place, 1), "utf-8")
    with serving(spoilt) as address:
        pages = [(spoilt / page).as_uri() if from_disk else address + page for page in kinds]
        found = seen_on(browser, pages)

    assert len(found) == len(kinds)
    for page, violations in found.items():
        assert any(each.startswith(INJECTED[what]) for each in violations), page
        assert "ran" not in violations


def test_without_the_policy_nothing_would_be_counted(
    browser: Browser, spoilt: Path, kinds: list[str]
) -> None:
    """It is the policy in the page that refuses: from a disk, without it, an inline script runs and is seen to run."""
    page = spoilt / kinds[0]
    text = page.read_text("utf-8")
    start = text.index("<meta http-equiv")
    end = text.index(">", start) + 1
    assert "Content-Security-Policy" in text[start:end]
    spoiled = text[:start] + text[end:].replace("</body>", "<script>window.ran = 1</script></body>")
    page.write_text(spoiled, "utf-8")

    assert seen_on(browser, [page.as_uri()]) == {page.as_uri(): ["ran"]}
