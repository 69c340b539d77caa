"""What each kind of pages sees of the content: its hash changes with what is in it, and with nothing else."""

from dataclasses import fields, replace
from datetime import date
from decimal import Decimal

import pytest

from generator.content.excerpts import Excerpts
from generator.content.model import Content, Reference, RunningList, Term, Text
from generator.content.money.read import Observation, ShopLink
from generator.content.releases import Release
from tests.pages import site_example

TERM = Term(
    "jerk", "content/glossary/jerk.md", "Jerk", "It jolts.", "A body.", 9, aliases=("jolt",)
)
TEXT = Text("hills", "content/guides/hills.md", "Hills", "Up and down.", "A body.", 9)
LINK = ShopLink("quay", "https://quay.example/", "Quay", "At Quay", "affiliate")
PRICE = Observation("alpa", "Quay", Decimal(900), "EUR", date(2026, 11, 1), includes_tax=True)
RECORD = Release(date(2026, 11, 20), {}, digest="one")
GROUND = site_example.CONTENT
CONTENT = Content(
    settings=GROUND.settings,
    riders=GROUND.riders,
    routes=GROUND.routes,
    guides=(TEXT,),
    terms=(TERM,),
    pages=(TEXT,),
    references=(Reference("one", "A source."),),
    changelog=TEXT,
    lists=(RunningList(**vars(TEXT)),),
    releases=(RECORD,),
    prices=(PRICE,),
    links=(LINK,),
    day=date(2026, 11, 21),
)
BODY = {"body": "Another body.", "body_line": 12, "summary": "Other words."}
BIKES, TEXTS, PAGES = "of_bikes", "of_texts", "of_pages"
CHANGES: dict[str, tuple[dict[str, object], set[str]]] = {
    "a setting": (
        {"settings": replace(GROUND.settings, title="Another")},
        {BIKES, TEXTS, PAGES},
    ),
    "a rider": (
        {"riders": (replace(GROUND.riders[0], power=99.0),)},
        {BIKES, TEXTS, PAGES},
    ),
    "a route": ({"routes": (replace(GROUND.routes[0], wind=9.0),)}, {BIKES, TEXTS, PAGES}),
    "the day": ({"day": date(2026, 11, 22)}, {BIKES, TEXTS, PAGES}),
    "a guide's text": ({"guides": (replace(TEXT, **BODY),)}, set()),
    "a guide more": ({"guides": (TEXT, replace(TEXT, slug="more"))}, set()),
    "a term's text": ({"terms": (replace(TERM, **BODY, see=("hills",)),)}, set()),
    "a term's title": ({"terms": (replace(TERM, title="Jolt"),)}, {BIKES, TEXTS, PAGES}),
    "a term's other name": ({"terms": (replace(TERM, aliases=()),)}, {BIKES, TEXTS, PAGES}),
    "what a term explains": (
        {"terms": (replace(TERM, figures=("spec.mass",)),)},
        {BIKES, TEXTS, PAGES},
    ),
    "a page's text": ({"pages": (replace(TEXT, **BODY),)}, {PAGES}),
    "a page's title": ({"pages": (replace(TEXT, title="Other"),)}, {BIKES, TEXTS, PAGES}),
    "a source": ({"references": (Reference("one", "Another source."),)}, {PAGES}),
    "the changelog": ({"changelog": replace(TEXT, **BODY)}, {PAGES}),
    "no changelog": ({"changelog": None}, {BIKES, TEXTS, PAGES}),
    "a list": ({"lists": (RunningList(**vars(TEXT), ascending=False),)}, set()),
    "no list": ({"lists": ()}, {BIKES, TEXTS, PAGES}),
    "a record": ({"releases": (replace(RECORD, digest="another"),)}, {TEXTS, PAGES}),
    "a price": ({"prices": (replace(PRICE, amount=Decimal(901)),)}, set()),
    "no price and no link": ({"prices": (), "links": ()}, {BIKES, TEXTS, PAGES}),
    "a link's words": ({"links": (replace(LINK, words="Quay"),)}, {TEXTS, PAGES}),
    "where a link leads": (
        {"links": (replace(LINK, url="https://other.example/"),)},
        {BIKES, TEXTS, PAGES},
    ),
    "what ties us to a seller": (
        {"links": (replace(LINK, relation="none"),)},
        {BIKES, TEXTS, PAGES},
    ),
}


@pytest.mark.parametrize(("change", "seen_by"), CHANGES.values(), ids=CHANGES)
def test_a_change_is_told_to_those_that_see_it(
    change: dict[str, object], seen_by: set[str]
) -> None:
    before, after = Excerpts(CONTENT), Excerpts(replace(CONTENT, **change))
    told = {
        name
        for name in (BIKES, TEXTS, PAGES)
        if getattr(before, name).told != getattr(after, name).told
    }
    assert told == seen_by


def test_what_is_in_an_excerpt_is_told_of() -> None:
    """Two publications with the same hash have the same excerpt: what is left out is not there to be read either."""
    changed = [replace(CONTENT, **change) for change, _ in CHANGES.values()]
    for name in (BIKES, TEXTS, PAGES):
        mine = getattr(Excerpts(CONTENT), name)
        for other in (getattr(Excerpts(each), name) for each in changed):
            assert (other.content == mine.content) or other.told != mine.told


def test_every_part_of_the_content_is_changed_here() -> None:
    """A new part of the content wants a decision who sees it."""
    assert {name for change, _ in CHANGES.values() for name in change} == {
        each.name for each in fields(Content)
    }


def test_a_record_without_a_file_is_told_by_what_it_says() -> None:
    bare = [
        Excerpts(replace(CONTENT, releases=(Release(RECORD.day, {}, lists={"light": members}),)))
        for members in (("alpa",), ("beta",))
    ]
    assert bare[0].of_texts.told != bare[1].of_texts.told
