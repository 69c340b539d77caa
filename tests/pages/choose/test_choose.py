"""The pages of the chooser: the form, its data, and the tree of plain pages."""

import gzip
import json
from dataclasses import replace
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from selectolax.lexbor import LexborHTMLParser

from generator.figures.chooser.candidates import build_chooser
from generator.figures.chooser.model import Chooser, ChooserAnswers
from generator.figures.chooser.rule import CLOSE_SCORE, SHORTLIST
from generator.figures.chooser.wishes import WISHES
from generator.figures.table.figures_table import FiguresTable
from generator.law import verdicts
from generator.pages.choose import page as choose_page
from generator.pages.choose.address import format_query
from generator.pages.choose.data import PATH, pack_chooser
from generator.pages.choose.result import MOST_OTHERS
from generator.pages.frame import assets, browser_data, urls
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from tests.figures import demo
from tests.figures.chooser.chooser_example import rank
from tests.pages.rendered import outputs_of

BUNDLE_LIMIT = 8_192
"""Limit of this project on the compressed bundle. [bytes]"""
BIKE_LIMIT = 150
"""Limit of this project on one more bike in the data, compressed. [bytes]"""


def renderer(table: FiguresTable) -> Renderer:
    return Renderer(table, demo.content(), Path("nowhere"))


def made(renderer: Renderer) -> list[Output]:
    return list(outputs_of(renderer, choose_page.plan_jobs(renderer)))


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return build_chooser(
        demo.table(), demo.content(), verdicts.find_rules_day(demo.content().settings, demo.bikes())
    )


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return {output.path: output.data for output in made(renderer(demo.table()))}


def tree(files: dict[str, bytes], path: str) -> LexborHTMLParser:
    return LexborHTMLParser(files[path].decode())


def leaves(chooser: Chooser) -> list[ChooserAnswers]:
    return [answers for use in chooser.uses for answers in choose_page._list_answers(chooser, use)]


def words(page: LexborHTMLParser) -> str:
    """The text of a page's main part."""
    main = page.css_first("main")
    assert main
    return " ".join(main.text(separator=" ").split())


def names(page: LexborHTMLParser) -> list[str]:
    """The bikes that a page ranks, in order."""
    return [node.text().strip() for node in page.css(".shortlist h3, .after li a")]


def test_the_number_of_pages_does_not_grow_with_the_catalogue(
    files: dict[str, bytes], chooser: Chooser
) -> None:
    """One form, one page for each use, one for each use, road and budget; twice the bikes make no more."""
    table = demo.table()
    twins = tuple(replace(bike, slug=f"{bike.slug}-twin") for bike in table.bikes)
    doubled = replace(
        table,
        bikes=(*table.bikes, *twins),
        figures={**table.figures, **{bike.slug: {} for bike in twins}},
    )
    more = {output.path for output in made(renderer(doubled))}

    assert len(files) == 2 + len(chooser.uses) * (
        1 + len(chooser.routes) * (1 + len(chooser.bands))
    )
    assert len(more) == len(files)


def test_every_leaf_ranks_by_the_rule(files: dict[str, bytes], chooser: Chooser) -> None:
    """The bikes in the order of the rule, ten at most, with a note on close ones."""
    for answers in leaves(chooser):
        page = tree(files, choose_page.find_result_path(answers))
        places_found = rank(chooser, answers).ranked[: SHORTLIST + MOST_OTHERS]
        hints = [node.text() for node in page.css(".shortlist .hint")]

        assert names(page) == [place.bike.name for place in places_found], answers
        assert ["no clear order" in hint for hint in hints] == [
            place.close for place in places_found[:SHORTLIST]
        ]


def test_a_leaf_leads_to_the_chooser_with_its_answers(
    files: dict[str, bytes], chooser: Chooser
) -> None:
    """The address holds what differs from the usual answers, and nothing else."""
    for answers in leaves(chooser):
        page = tree(files, choose_page.find_result_path(answers))
        link = next(
            node.attributes["href"] or ""
            for node in page.css("a")
            if node.text() == "Change the answers"
        )
        given = {key: value for key, (value,) in parse_qs(urlsplit(link).query).items()}

        assert replace(chooser.usual, **given) == answers


def test_addresses_say_only_what_differs(chooser: Chooser) -> None:
    usual = chooser.usual

    assert format_query(chooser, usual) == ""
    assert (
        format_query(chooser, replace(usual, use="city", budget="2500")) == "?use=city&budget=2500"
    )
    assert format_query(chooser, replace(usual, weights={"reach": 4, "climb": 3})) == "?w=reach4"


def test_every_bike_is_accounted_for(files: dict[str, bytes], chooser: Chooser) -> None:
    """On a result page with room for all, each bike of the use is ranked, set apart, or left out with its reason."""
    answers = next(each for each in leaves(chooser) if each.use == "folding" and each.budget)
    page = tree(files, choose_page.find_result_path(answers))
    text = words(page)

    for bike in chooser.bikes:
        assert (bike.name in text) == ("folding" in bike.uses), bike.slug
    assert "Priced in GBP" in text
    assert "We convert no money" in text


def test_withdrawn_bikes_are_left_out_and_announced_ones_marked(
    files: dict[str, bytes], chooser: Chooser
) -> None:
    touring = tree(files, choose_page.find_result_path(replace(chooser.usual, use="touring")))
    cargo = tree(files, choose_page.find_result_path(replace(chooser.usual, use="cargo")))

    assert "Neshwick Tolm" not in names(touring)
    assert "Neshwick Tolm : It is no longer sold." in words(touring)
    assert "EUR, announced" in words(cargo)


def test_numbers_lead_to_their_derivations(files: dict[str, bytes], chooser: Chooser) -> None:
    """Every figure that a reason names leads to a figure that the bike has."""
    known = demo.table().figures
    checked = 0
    for answers in leaves(chooser):
        for node in tree(files, choose_page.find_result_path(answers)).css(".reasons a.fig"):
            path, _, anchor = (node.attributes["href"] or "").partition("#")
            slug = path.split("/")[-2]
            assert anchor in {"fig-" + id.replace(".", "-") for id in known[slug]}, (slug, anchor)
            checked += 1

    assert checked > 500


def test_the_rule_is_printed_whole(files: dict[str, bytes]) -> None:
    """Each wish with its weight and its points, and each with a slider that starts at that weight."""
    page = tree(files, urls.CHOOSE)
    table = page.css_first("table.record")
    assert table
    rows = {row.css("th")[0].text(): row.text() for row in table.css("tbody tr")}

    assert set(rows) == {wish.title for wish in WISHES}
    for wish in WISHES:
        slider = page.css_first(f"#w-{wish.id}")
        assert slider
        assert slider.attributes["value"] == str(wish.weight)
        assert wish.measure in rows[wish.title]
    assert "no payment, no link, no relation" in words(page)
    assert f"less than {CLOSE_SCORE / 10:g} of 100" in words(page)


def test_plain_pages_say_what_they_took_for_granted(
    files: dict[str, bytes], chooser: Chooser
) -> None:
    """The page lists the questions that the tree does not ask, with the answers it assumes."""
    text = words(tree(files, choose_page.find_result_path(leaves(chooser)[0])))

    for said in (
        "Where do you live?",
        "European Union",
        "10 km (6 mi)",
        "A light bag",
        "I do not mind",
    ):
        assert said in text


def test_a_reader_is_cautioned(files: dict[str, bytes]) -> None:
    for path, data in files.items():
        if path.count("/") > 2:
            assert "What your own authorities say" in data.decode(), path


def test_more_bikes_make_little_more_data(chooser: Chooser) -> None:
    """Bytes of one more bike, between half of the demo and all of it."""
    whole = pack_chooser(chooser)
    half = len(chooser.bikes) // 2

    def weight(count: int) -> int:
        value = {**whole, "columns": [column[:count] for column in whole["columns"]]}
        return len(gzip.compress(browser_data.make_data_file(PATH, value).data, 9, mtime=0))

    assert (weight(len(chooser.bikes)) - weight(half)) / (len(chooser.bikes) - half) < BIKE_LIMIT


def test_the_data_hold_the_same_numbers(files: dict[str, bytes], chooser: Chooser) -> None:
    """Unpacked by hand: the first bike's ranges add up along the loads to those that Python ranks by."""
    value = json.loads(files[PATH].decode().partition(",")[2].removesuffix(");\n"))
    row = [column[0] for column in value["columns"]]
    first = chooser.bikes[0]
    loads = list(chooser.loads)
    steps = row[11 : 11 + len(loads)]
    key = (chooser.riders[0].id, chooser.routes[0].id)

    assert row[0] == first.slug
    assert [sum(steps[: at + 1]) for at in range(len(loads))] == [
        first.ranges[(*key, load)] for load in loads
    ]


def test_the_bundle_is_light() -> None:
    bundle = next(out for out in assets.outputs(Path("nowhere")) if out.path.endswith("choose.js"))

    assert len(gzip.compress(bundle.data, 9, mtime=0)) < BUNDLE_LIMIT
