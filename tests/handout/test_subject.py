"""Requests for handouts from the command line, and their subjects."""

from dataclasses import replace
from datetime import date

import pytest

from generator.content.money.read import ShopLink
from generator.figures.table.tabulate import tabulate
from generator.handout.named import read_guide_contents
from generator.handout.subject import HandoutRequest, read_request
from generator.handout.ties import find_links
from tests.handout.conftest import Demo

BIKES = ("invor-alpa", "invor-beta", "invor-gamma", "invor-delta", "invor-epsi", "far")
GUIDES = ("far", "hub-or-mid")


@pytest.mark.parametrize(
    ("words", "sort", "slugs"),
    [
        (["hub-or-mid"], "guide", ("hub-or-mid",)),
        (["invor-alpa"], "bike", ("invor-alpa",)),
        (["bikes/invor-alpa.yaml"], "bike", ("invor-alpa",)),
        (["content/guides/far.md"], "guide", ("far",)),
        (["far"], "guide", ("far",)),
        (["bikes/far"], "bike", ("far",)),
        (["invor-beta,invor-alpa"], "comparison", ("invor-beta", "invor-alpa")),
        (["invor-beta", "invor-alpa,invor-gamma"], "comparison", ("invor-beta", "invor-alpa", "invor-gamma")),
    ],
)  # fmt: skip
def test_what_is_asked_for(words: list[str], sort: str, slugs: tuple[str, ...]) -> None:
    asked, problems = read_request(words, BIKES, GUIDES)

    assert not problems
    assert asked == HandoutRequest(sort, slugs)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("words", "what", "mend"),
    [
        (["hub-or-mit"], "no guide or bike `hub-or-mit`", "Did you mean `hub-or-mid`"),
        (["invor-alpa,invor-bet"], "no bike `invor-bet`", "Did you mean `invor-beta`"),
        (["invor-alpa,hub-or-mid"], "`hub-or-mid` is a guide", "Name the guide alone"),
        (["invor-alpa,invor-alpa"], "named twice", "each bike once"),
        ([",".join(BIKES[:5])], "5 bikes are too many", "two to 4"),
        ([","], "nothing is named", "a guide, a bike, or two to four bikes"),
    ],
)
def test_what_cannot_be_done(words: list[str], what: str, mend: str) -> None:
    asked, problems = read_request(words, BIKES, GUIDES)

    assert asked is None
    assert what in problems[0].what
    assert mend in problems[0].mend


def test_a_page_is_read_for_what_it_names() -> None:
    """A guide's page gives sections in plain words, figures once each, charts, diagrams and outward links."""
    found = read_guide_contents(
        '<h2 id="s-a">One <em>way</em> &amp; more</h2><p><data data-bike="a-b" data-figure="spec.mass" value="1">1 kg</data>'
        '<data data-bike="a-b" data-figure="spec.mass" value="1">1 kg</data><a href="https://shop.example/x">x</a>'
        '<a href="../../index.html">home</a></p><figure class="chart" data-chart="range.by_level" data-of="a-b"></figure>'
        '<figure class="chart diagram" id="diagram-take-up-a-b"></figure><figure id="diagram-run-on"></figure>'
    )

    assert found.sections == ["One way & more"]
    assert found.figures == [("a-b", "spec.mass")]
    assert found.charts == [("range.by_level", "a-b")]
    assert found.diagrams == [("take-up", "a-b"), ("run-on", "")]
    assert found.addresses == ["https://shop.example/x"]


def test_a_guide_of_the_demo(demo: Demo) -> None:
    """A guide's figures are those of the table, its charts and diagrams those that its text calls."""
    about = demo.subject(demo.renderer(), "hub-or-mid")
    body = about.text.body if about.text else ""

    assert about.address.endswith("/guides/hub-or-mid/")
    assert len(about.charts) == body.count("{{ chart(")
    assert len(about.diagrams) == body.count("{{ diagram(")
    assert list(about.sections) == [line[3:] for line in body.split("\n") if line.startswith("## ")]
    assert all(demo.table.figures[each.bike][each.id] is each for each in about.figures)


def test_the_page_of_a_comparison(demo: Demo) -> None:
    """Two bikes with a comparison page lead there, others to the page on which readers compare."""
    renderer = demo.renderer()

    pair = demo.subject(renderer, "oskelm-talli-s,oskelm-talli")
    others = demo.subject(renderer, "oskelm-talli,karnoot-dromm,pellimor-fenno")

    assert pair.path == "compare/oskelm-talli-vs-oskelm-talli-s/index.html"
    assert others.address.endswith("/compare/?bikes=oskelm-talli,karnoot-dromm,pellimor-fenno")


def test_a_few_bikes_have_the_figures_of_all(demo: Demo) -> None:
    """A handout that computes its own bikes alone has the figures of the site, to the last digit."""
    slugs = ("pellimor-fenno", "tuspen-hebb-lt")
    some = [bike for bike in demo.table.bikes if bike.slug in slugs]
    alone = tabulate(some, demo.publication.content)

    for slug in slugs:
        assert alone.figures[slug] == demo.table.figures[slug]


def test_a_link_that_has_run_out_is_left_out(demo: Demo) -> None:
    """After its last day a link is nowhere in a handout and needs no disclosure."""
    content = demo.publication.content
    bike = demo.table.bikes[0]
    link = ShopLink("x", "https://shop.example/", "Shop", "X", "paid", bike.slug, date(2026, 5, 1))

    for day, there in ((date(2026, 5, 1), True), (date(2026, 5, 2), False)):
        found = find_links(replace(content, links=(link,), day=day), [bike])
        assert bool(found) is there
