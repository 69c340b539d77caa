"""The search data: every bike, guide, term and page, with the words that readers may try."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from generator.pages import search
from generator.pages.frame import urls
from generator.pages.frame.renderer import Renderer
from generator.pages.pictures.draw_picture import PictureContent
from generator.pages.search import KINDS
from tests.pages import site_example as example
from tests.pages.rendered import QuickCharts, files_of

TERMS = (replace(example.TERMS[0], aliases=("reach", "how far")), *example.TERMS[1:])
GUIDE = replace(example.GUIDE, body="## On a <em>flat</em> road & back\n\nIt goes far.\n\n### Up\n")
CONTENT = replace(example.CONTENT, terms=TERMS, guides=(GUIDE,))


class NoPictures(QuickCharts):
    """Draws nothing beside links."""

    def picture(self, card: PictureContent) -> bytes:
        return b""


@pytest.fixture(scope="module")
def data() -> bytes:
    renderer = Renderer(example.table(), CONTENT, Path("nowhere"), NoPictures())
    return files_of(renderer)[urls.SEARCH_DATA]


@pytest.fixture(scope="module")
def rows(data: bytes) -> list[list[Any]]:
    found: list[list[Any]] = json.loads(data[data.index(b",") + 1 : data.rindex(b")")])
    return found


def of(rows: list[list[Any]], kind: str) -> dict[str, list[Any]]:
    """Rows of a kind by their title."""
    return {row[2]: row for row in rows if KINDS[row[0]] == kind}


def test_a_bike_is_known_by_maker_use_sensor_and_motor(rows: list[list[Any]]) -> None:
    bikes = of(rows, "bike")

    assert len(bikes) == len(example.BIKES)
    for word in ("city", "touring", "mid motor", "derailleur"):
        assert word in bikes["Invor Beta"][4]
    assert "announced" in bikes["Invor Gamma"][4]
    assert bikes["Invor Beta"][3] == example.TRAP


def test_a_guide_is_known_by_its_headings_and_a_term_by_other_words(
    rows: list[list[Any]],
) -> None:
    assert of(rows, "guide")["How far"][4] == "On a flat road & back Up"
    assert of(rows, "term")["Range"][4] == "reach how far"


def test_pages_are_those_at_the_top(rows: list[list[Any]]) -> None:
    """Cautions and lists by use, but not each pair of bikes, each answer of the chooser or the page itself."""
    paths = {row[1] for row in of(rows, "page").values()}

    assert {
        "cautions/index.html", "law/index.html", "uses/city/index.html", "choose/index.html"
    } <= paths  # fmt: skip
    assert not {"index.html", "404.html", urls.SEARCH} & paths
    assert not [path for path in paths if "-vs-" in path or path.count("/") > 2]


def test_a_way_of_working_out_is_there_once(rows: list[list[Any]]) -> None:
    """The example's figures of a group share words and formula, so each group has one."""
    figures = of(rows, "figure")

    assert len(figures) == len({kind.group for kind in example.KINDS})
    assert all(row[1].startswith(f"{urls.METHOD}#kind-") for row in figures.values())


def test_the_list_cannot_break_out_of_its_script(data: bytes) -> None:
    """`<` of an unfriendly text is escaped in the file, and comes back when it is read."""
    assert b"<" not in data
    assert search.build_search_library().count(b"*/") == 1
