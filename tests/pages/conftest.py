"""The small publication's site, rendered once for all tests of pages."""

import pytest
from selectolax.lexbor import LexborHTMLParser

from tests.pages.rendered import Site, built


@pytest.fixture(scope="session")
def site() -> Site:
    return built()


@pytest.fixture(scope="session")
def pages(site: Site) -> dict[str, LexborHTMLParser]:
    return {
        path: LexborHTMLParser(data.decode())
        for path, data in site.items()
        if path.endswith(".html")
    }
