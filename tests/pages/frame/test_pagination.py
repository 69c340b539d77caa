"""Lists that grow with the catalogue are split into pages: each row is on one page, and links lead to it."""

from collections.abc import Iterator

import pytest
from selectolax.lexbor import LexborHTMLParser

from generator.pages import law as law_page
from generator.pages.frame import pagination, urls
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.pages.lists import running_lists
from generator.pages.reference import claims
from tests.figures import demo
from tests.pages.rendered import outputs_of

FEW = 4
"""Number of rows of a page in these tests."""


@pytest.fixture
def renderer(monkeypatch: pytest.MonkeyPatch) -> Renderer:
    monkeypatch.setattr(pagination, "ROWS_PER_PAGE", FEW)
    return Renderer(demo.table(), demo.content(), demo.ROOT)


def trees(outputs: Iterator[Output]) -> dict[str, LexborHTMLParser]:
    return {
        out.path: LexborHTMLParser(out.data.decode())
        for out in outputs
        if out.path.endswith(".html")
    }


def heads(tree: LexborHTMLParser, table: str) -> list[str]:
    return [node.text(strip=True) for node in tree.css(f"{table} tbody th[scope=row] a")]


def test_every_bike_stands_before_the_law_once(renderer: Renderer) -> None:
    """And its own page leads to the page that it stands on."""
    found = trees(outputs_of(renderer, law_page.plan_jobs(renderer)))
    bikes = renderer.table.bikes
    paths = [urls.part(urls.LAW, number) for number in range(1, -(-len(bikes) // FEW) + 1)]
    rows = [heads(found[path], "table.record") for path in paths]

    assert list(found) == paths
    assert [name for each in rows for name in each] == [bike.full_name for bike in bikes]
    assert max(map(len, rows)) == FEW
    assert len({tree.css_first("h1").text() for tree in found.values()}) == len(paths)
    for bike in bikes:
        leaf = pagination.find_list_page(urls.LAW, renderer.table.find_index(bike.slug))
        told = law_page.describe_law(renderer, bike, urls.bike(bike.slug), leaf)
        assert told
        page, _, row = told.elsewhere.partition("#")
        assert found[page.removeprefix("../../")].css_first(f"tr#{row}") is not None


def test_rules_stand_on_the_first_page_and_all_lead_there(renderer: Renderer) -> None:
    found = trees(outputs_of(renderer, law_page.plan_jobs(renderer)))
    first, *rest = found.values()
    rules = {node.attributes["id"] for node in first.css("h3[id^=rule-]")}

    assert rules
    for tree in rest:
        assert not tree.css("h3[id^=rule-]")
        links = {a.attributes["href"] for a in tree.css("table thead a")}
        assert links == {f"../index.html#{rule}" for rule in rules}
        letters = {node.attributes["id"] for node in tree.css("ul.lacking li")}
        assert letters == {
            (a.attributes["href"] or "")[1:] for a in tree.css("td a[href^='#lacks']")
        }


def test_every_claim_stands_once_the_widest_gap_first(renderer: Renderer) -> None:
    found = trees(outputs_of(renderer, claims.plan_jobs(renderer)))
    for kind, table in ((claims.RANGE, "range-claims"), (claims.POWER, "power-claims")):
        column = renderer.table.column(kind)
        rows = [
            name for tree in found.values() for name in heads(tree, f"[aria-labelledby={table}]")
        ]
        worst = sorted(column.values(), key=lambda figure: -figure.value)
        names = {bike.slug: bike.full_name for bike in renderer.table.bikes}
        assert sorted(rows) == sorted(names[slug] for slug in column)
        assert rows[0] == names[worst[0].bike]
    assert len(found) > 2
    assert all(tree.css_first("nav#pages") is not None for tree in found.values())


def test_every_member_of_a_running_list_stands_once(renderer: Renderer) -> None:
    """The reason beside it; who left stands on the first page alone."""
    found = trees(outputs_of(renderer, running_lists.plan_jobs(renderer)))
    long = max(renderer.history.members_by_list.items(), key=lambda each: len(each[1].members))
    slug, roll = long
    own = [tree for path, tree in found.items() if path.startswith(f"lists/{slug}/")]

    assert len(own) == -(-len(roll.members) // FEW) > 1
    assert [name for tree in own for name in heads(tree, "table.figures")] == [
        each.bike.full_name for each in roll.members
    ]
    assert [node.text() for tree in own for node in tree.css("#why + dl dt")] == [
        each.bike.full_name for each in roll.members
    ]
