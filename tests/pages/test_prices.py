"""The pages of prices: their content and order, and their absence where nothing is known."""

from dataclasses import replace
from pathlib import Path

from selectolax.lexbor import LexborHTMLParser

from generator.content.model import Content
from generator.pages.frame.renderer import Renderer
from tests.pages import money_example as money
from tests.pages import site_example as example
from tests.pages.rendered import Site, built, files_of

ALPA, BETA, ALL = (
    "bikes/invor-alpa/prices/index.html",
    "bikes/invor-beta/prices/index.html",
    "prices/index.html",
)


def text(site: Site, path: str) -> str:
    return money.said(LexborHTMLParser(site[path].decode()))


def test_a_bike_with_a_cut() -> None:
    site = built(money.content())
    said = text(site, ALPA)
    assert (
        "Cut by 10 % from 1000 EUR, the lowest price that we recorded at this seller in the 30 days before"
        in said
    )
    assert said.index("Quay Wheels 900 EUR") < said.index("Tram Cycles 950 EUR")
    assert "Directive 98/6/EC" in said
    assert (
        "900 EUR at Quay Wheels, last seen on 14 November 2026; the lowest of 6 prices since 19 September 2026"
        in said
    )
    assert "List price: 1000 EUR, seen on 4 October 2026. Prices above are newer." in said
    assert "Ask what comes on top" in said


def test_the_law_of_the_region_decides() -> None:
    def of(region: str) -> str:
        settings = replace(example.SETTINGS, region=region)
        return text(built(money.content(settings=settings)), ALPA)

    assert "Cut by 10 %" in of("UK")
    assert "Cut by 10 % from 1000 EUR, which we saw on" in of("US")
    assert "Cut by" not in of("CA")
    assert "we announce none: there are list prices" in of("CA")


def test_an_old_price_says_so() -> None:
    said = text(built(money.content()), BETA)
    assert "Not checked since 1 June 2026." in said
    assert "Prices above are newer" not in said
    nobody_knows = replace(money.content(), day=None)
    assert "Not checked since 14 November 2026." in text(built(nobody_knows), ALPA)


def test_the_chart_and_its_numbers() -> None:
    tree = LexborHTMLParser(built(money.content())[ALPA].decode())
    assert "Quay Wheels asked least, 900" in tree.css_first(".chart__finding").text()
    lines = [[cell.text() for cell in row.css("th, td")] for row in tree.css("table.data tbody tr")]
    assert len(lines) == 6
    assert lines[0] == ["19 September 2026", "Quay Wheels", "1000\u00a0EUR"]
    beta = LexborHTMLParser(built(money.content())[BETA].decode())
    assert not beta.css("figure"), "one look is no history"


def test_all_prices_and_the_ways_to_them() -> None:
    site = built(money.content())
    said = text(site, ALL)
    assert "7 prices on record" in said
    assert said.index("Invor Alpa") < said.index("Invor Beta")
    assert "Bikes stand in the order of their list price" in said
    assert b'href="../prices/index.html"' in site["bikes/index.html"]
    assert b'href="prices/index.html"' in site["bikes/invor-alpa/index.html"]
    assert b"Prices seen" not in site["bikes/invor-gamma/index.html"]


def test_links_alone_and_nothing_at_all() -> None:
    only_links = replace(money.content(), prices=())
    site = built(only_links)
    assert "We have recorded no price of it at a seller yet." in text(site, ALPA)
    assert BETA not in site
    nothing: Content = example.CONTENT
    assert not [path for path in built(nothing) if "prices/" in path]
    assert b"Prices seen" not in built(nothing)["bikes/index.html"]


def test_hostile_words_stay_words() -> None:
    prices = tuple(
        replace(one, seller=example.TRAP + one.seller, note=example.TRAP, link="")
        for one in money.PRICES
    )
    links = tuple(replace(one, words=example.TRAP, seller=example.TRAP) for one in money.links())
    renderer = Renderer(
        example.table(), replace(money.content(), prices=prices, links=links), Path("nowhere")
    )
    site = {path: data.decode("utf-8", "replace") for path, data in files_of(renderer).items()}
    for path in (ALPA, BETA, ALL):
        assert "<script>alert" not in site[path]
        assert "&lt;script&gt;alert" in site[path]
    assert "<svg" in site[ALPA]
