"""Lists of bikes, their pages, and the data that let a browser filter them and set bikes side by side."""

import gzip
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from selectolax.lexbor import LexborHTMLParser

from generator.figures.table.figures_table import FiguresTable
from generator.pages.compare import bike_cards
from generator.pages.compare import page as compare_page
from generator.pages.compare.comparison import describe_gears, group_kinds
from generator.pages.compare.pairs import BikePairs
from generator.pages.frame import numbers, urls
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.pages.lists import bike_lists, bike_table, columns
from generator.specs.bike import Drivetrain
from tests.figures import demo
from tests.pages import site_example as example
from tests.pages.rendered import QuickCharts, outputs_of

CARD_LIMIT = 4_000
"""Limit of this project, compressed. [bytes]"""
MANY = tuple(example.bike(f"invor-n{number:03}", 1000.0 + number) for number in range(205))


def value(data: bytes) -> Any:
    """The data in a data file."""
    return json.loads(data.decode().split(",", 1)[1].rsplit(")", 1)[0])


def renderer(table: FiguresTable) -> Renderer:
    return Renderer(table, example.CONTENT, Path("nowhere"), QuickCharts())


def cards(renderer: Renderer) -> list[Output]:
    """The data file of each bike."""
    return [out for bike in renderer.table.bikes for out in bike_cards.make_card(renderer, bike)]


@pytest.fixture(scope="module")
def many() -> dict[str, bytes]:
    made = renderer(example.table(MANY))
    return {
        out.path: out.data for out in outputs_of(made, bike_lists.plan_jobs(made, BikePairs(MANY)))
    }


@pytest.fixture(scope="module")
def published() -> dict[str, Any]:
    """Every data file of the demo, by path."""
    made = Renderer(demo.table(), demo.content(), demo.ROOT)
    outputs = (*outputs_of(made, columns.plan_jobs(made)), *bike_cards.outputs(made), *cards(made))
    return {out.path: value(out.data) for out in outputs}


def rows(data: bytes) -> list[str]:
    tree = LexborHTMLParser(data.decode())
    return [node.attributes["data-slug"] or "" for node in tree.css("#catalogue tbody tr")]


@pytest.mark.parametrize("first", [urls.BIKES, urls.use("city")])
def test_a_page_does_not_grow_without_bound(many: dict[str, bytes], first: str) -> None:
    """205 bikes make three pages, which together hold every bike once, in the order of the list."""
    paths = [urls.part(first, number) for number in (1, 2, 3)]
    found = [rows(many[path]) for path in paths]

    assert paths[1].endswith("page-2/index.html")
    assert urls.part(first, 4) not in many
    assert [len(each) for each in found] == [100, 100, 5]
    assert [slug for each in found for slug in each] == [bike.slug for bike in MANY]


def test_order_of_a_list() -> None:
    """House rule: the publication's own currency first, by price; others after it, by currency; no price last."""
    prices = [(900.0, "CHF"), (800.0, "USD"), (2000.0, "EUR"), (1000.0, "EUR"), (None, "EUR")]
    bikes = [example.bike(f"invor-{number}", *each) for number, each in enumerate(prices)]

    assert [bike.name for bike in bike_table.sort_bikes(bikes, "EUR")] == ["3", "2", "0", "1", "4"]


def test_pages_of_a_list_lead_to_each_other(many: dict[str, bytes]) -> None:
    """The heading names the part; the links before and after lead to its neighbours, if any."""
    trees = [LexborHTMLParser(many[urls.part(urls.BIKES, number)].decode()) for number in (1, 2, 3)]
    links = [
        {str(a.attributes["rel"]): a.attributes["href"] for a in tree.css("#pages a")}
        for tree in trees
    ]

    head = trees[1].css_first("h1")

    assert head
    assert head.text() == "Bikes, 101–200 of 205 bikes"
    assert links == [
        {"next": "page-2/index.html"},
        {"prev": "../index.html", "next": "../page-3/index.html"},
        {"prev": "../page-2/index.html"},
    ]


def test_one_page_says_nothing_of_pages(published: dict[str, Any]) -> None:
    made = Renderer(demo.table(), demo.content(), demo.ROOT)
    found = {
        out.path: out.data
        for out in outputs_of(made, bike_lists.plan_jobs(made, BikePairs(demo.bikes())))
    }

    assert b'id="pages"' not in found[urls.BIKES]
    assert len(rows(found[urls.BIKES])) == len(demo.bikes())


def test_pairs_listed_are_bounded() -> None:
    """A use with very many pairs names the first and says how many more there are."""
    pairs = BikePairs(MANY)
    found, more = compare_page.list_pairs(pairs, "city", urls.COMPARE)

    assert len(found) == compare_page.MOST_LISTED
    assert more == len(pairs.all) - compare_page.MOST_LISTED > 0


def test_columns_follow_the_list_of_bikes(published: dict[str, Any]) -> None:
    """One cell for each bike in the list's order, with the table's numbers and the texts of the build."""
    listed = published[columns.BIKES_PATH]
    slugs = [row[listed["fields"].index("slug")] for row in listed["rows"]]
    table = demo.table()

    assert slugs == [bike.slug for bike in bike_table.sort_bikes(table.bikes, "EUR")]
    for id in table.kinds:
        cells = published[columns.find_column_path(id)]
        assert len(cells) == len(slugs)
        for slug, cell in zip(slugs, cells, strict=True):
            figure = table.get(slug, id)
            assert (cell == 0) == (figure is None)
            if figure is not None:
                assert cell[:3] == [figure.value, figure.low, figure.high]
                assert cell[3] == numbers.format_in_system(figure, "metric", False)
                assert (cell[5] or cell[3]) == numbers.format_in_system(figure, "us", False)


def test_cards_hold_what_is_compared(published: dict[str, Any]) -> None:
    """Every figure of a comparison that the bike has, with its interval in words; claims stay elsewhere."""
    table = demo.table()
    compared = {kind.id for part in group_kinds(table.kinds.values()) for kind in part.kinds}
    titles = published[bike_cards.KINDS_PATH]["facts"]

    assert not [id for id in compared if id.startswith("claims.") or id.count(".") > 1]
    for bike in table.bikes:
        card = published[bike_cards.find_card_path(bike.slug)]
        assert set(card["figures"]) == compared & set(table.figures_of(bike.slug))
        assert len(card["facts"]) == len(titles)
        for id, (number, low, high, metric, us, *_) in card["figures"].items():
            figure = table.figures_of(bike.slug)[id]
            assert [number, low, high] == [figure.value, figure.low, figure.high]
            assert metric == numbers.format_in_system(figure, "metric", True)
            assert (us or metric) == numbers.format_in_system(figure, "us", True)


def test_money_of_another_currency_says_so(published: dict[str, Any]) -> None:
    """The unit comes last if it is not the publication's."""
    figures = {
        bike.slug: published[bike_cards.find_card_path(bike.slug)]["figures"]
        for bike in demo.bikes()
    }

    assert figures["tuspen-hebb"]["spec.price"][5:] == ["USD"]
    assert figures["oskelm-talli"]["spec.price"][5:] == []


def test_a_card_is_small() -> None:
    made = Renderer(demo.table(), demo.content(), demo.ROOT)
    sizes = [len(gzip.compress(out.data, 6)) for out in cards(made)]

    assert len(sizes) == len(demo.bikes())
    assert max(sizes) <= CARD_LIMIT


@pytest.mark.parametrize(
    ("drivetrain", "words"),
    [
        (Drivetrain("derailleur", chainrings=(46, 36), cogs=(11, 20, 34)), "6-speed derailleur"),
        (
            Drivetrain("hub gear", chainrings=(46,), cogs=(20,), hub_ratios=(0.7, 1.0)),
            "2-speed hub gear",
        ),
        (Drivetrain("single speed", chainrings=(46,), cogs=(18,)), "single speed"),
        (Drivetrain("derailleur"), "derailleur"),
    ],
)
def test_gears_in_words(drivetrain: Drivetrain, words: str) -> None:
    """The number of speeds is the number of combinations of parts; none is given if the spec has none."""
    assert describe_gears(drivetrain) == f"{words}, chain"
    assert describe_gears(replace(drivetrain, drive="belt")) == f"{words}, belt"
