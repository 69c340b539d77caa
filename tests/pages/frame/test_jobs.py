"""A job says what it asked, and is told apart by its function and its arguments."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from generator.pages.frame.jobs import Job, run_job
from generator.pages.frame.output import Output
from generator.pages.frame.recorder import Query
from generator.pages.frame.renderer import Renderer
from generator.pages.guides import pages as guide_pages
from tests.figures import demo
from tests.pages import site_example as example
from tests.pages.frame.test_recorder import GUIDE, RECORD, table

ALPA, BETA, GAMMA, DELTA = (bike.slug for bike in example.BIKES)
FINGERPRINTS = {bike.slug: f"fingerprint of {bike.slug}" for bike in example.BIKES}
FIGURE, OTHER = example.KINDS[0].id, example.KINDS[1].id
INPUT = example.WORKING.inputs[0].given


def make_nothing(renderer: Renderer, what: str, day: date) -> list[Output]:
    """A job that asks and makes no file."""
    ASKS[what](renderer)
    assert renderer.table.get(ALPA, FIGURE)
    return []


def make_nothing_else(renderer: Renderer, what: str, day: date) -> list[Output]:
    return make_nothing(renderer, what, day)


ASKS: dict[str, Callable[[Renderer], object]] = {
    "nothing more": lambda renderer: renderer.history.releases,
    "a figure beside its record": lambda renderer: renderer.history.find_moves_since(
        RECORD, [(BETA, FIGURE)]
    ),
    "all records": lambda renderer: renderer.history.now,
}
DAY = date(2026, 11, 26)


@pytest.mark.parametrize(
    ("what", "bikes"),
    [
        ("nothing more", {("bike", ALPA)}),
        ("a figure beside its record", {("bike", ALPA), ("bike", BETA)}),
        ("all records", {("table", ""), *(("bike", slug) for slug in FINGERPRINTS)}),
    ],
)
def test_a_job_tells_what_it_asked(what: str, bikes: set[Query]) -> None:
    """The records of the past are of all bikes; what moved of named figures since one of them is of few."""
    renderer = Renderer(table(), replace(example.CONTENT, releases=(RECORD,)), demo.ROOT)
    result = run_job(renderer, Job(make_nothing, (what, DAY)))

    assert {query for query in result.queries if query[0] in ("bike", "table")} == bikes
    assert result.answers == renderer.source.fingerprint_all(result.queries)
    assert (renderer.pages, renderer.problems) == ([], [])


def test_a_guide_that_names_a_figure_asks_for_its_bike_alone() -> None:
    renderer = Renderer(table(), example.CONTENT, demo.ROOT)
    (job,) = guide_pages.plan_guides(renderer)
    result = run_job(renderer, job)

    assert [page.path for page in result.pages] == ["guides/far/index.html"]
    assert {query for query in result.queries if not query[0].startswith("content.")} == {
        ("bike", BETA),
        ("kinds", ""),
    }
    asked = {name for name, _ in result.queries}
    assert {"content.settings", "content.term_index"} <= asked
    assert not asked & {"content.guides", "content.terms", "content.pages", "content.texts"}


def test_a_job_of_an_unknown_table_has_no_answers() -> None:
    result = run_job(
        Renderer(example.table(), example.CONTENT, demo.ROOT),
        Job(make_nothing, ("nothing more", DAY)),
    )

    assert result.queries
    assert result.answers is None


def test_jobs_are_told_apart_by_function_and_arguments() -> None:
    jobs = [
        Job(make_nothing, ("nothing more", DAY)),
        Job(make_nothing_else, ("nothing more", DAY)),
        Job(make_nothing, ("all records", DAY)),
        Job(make_nothing, ("nothing more", date(2026, 11, 27))),
        Job(make_nothing, ("nothing more", str(DAY))),
        Job(make_nothing, (GUIDE, DAY)),
        Job(make_nothing, (replace(GUIDE, body="Other."), DAY)),
    ]

    assert len({job.key for job in jobs}) == len(jobs)
    assert Job(make_nothing, ("nothing more", DAY), long=True).key == jobs[0].key
