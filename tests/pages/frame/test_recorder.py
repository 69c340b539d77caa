"""What a job asks of the catalogue is noted, and its pages stand exactly while it would be told the same."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import partial

import pytest

from generator.figures.records.record import record_of
from generator.figures.table import tabulate
from generator.figures.table.figures_table import FiguresTable
from generator.pages.frame.jobs import Job, asking
from generator.pages.frame.output import Output
from generator.pages.frame.recorder import Answers, Asked, Witness
from generator.pages.frame.renderer import Renderer
from tests.figures import demo
from tests.pages import site_example as example

MARKS = {bike.slug: f"mark of {bike.slug}" for bike in example.table().bikes}
SLUGS = list(MARKS)


def table(**other_marks: str) -> FiguresTable:
    return replace(example.table(), marks={**MARKS, **other_marks})


def witness(of: FiguresTable) -> Witness:
    return Witness(of, Answers(of))


def asked(ask) -> Asked:
    noting = witness(table())
    ask(noting)
    return noting.asked()


def stands(found: Asked, now: FiguresTable) -> bool:
    return witness(now).stands(found)


def moved(slug: str, id: str) -> FiguresTable:
    """A figure of one bike moved, and with it the bike's mark."""
    whole = table(**{slug: "another"})
    figure = whole.figures[slug][id]
    own = {**whole.figures[slug], id: replace(figure, value=figure.value * 1.5)}
    return replace(whole, figures={**whole.figures, slug: own})


ID = next(iter(example.table().figures[SLUGS[0]]))

OF_ONE = [
    lambda asking: asking.bike(SLUGS[0]),
    lambda asking: asking.get(SLUGS[0], ID),
    lambda asking: asking.of(SLUGS[0]),
    lambda asking: asking.working(asking._table.get(SLUGS[0], ID)),
]


@pytest.mark.parametrize("ask", OF_ONE)
def test_what_asks_of_one_bike_stands_while_that_one_does(ask) -> None:
    found = asked(ask)

    assert found.questions == (("bike", SLUGS[0]),)
    assert stands(found, moved(SLUGS[1], ID))
    assert not stands(found, moved(SLUGS[0], ID))
    assert not stands(found, table().only(*SLUGS[1:]))


def test_what_asks_for_a_bike_that_is_not_there_stands_until_it_comes() -> None:
    less = table().only(*SLUGS[1:])
    noting = witness(less)
    assert noting.bike(SLUGS[0]) is None
    found = noting.asked()

    assert stands(found, less)
    assert not stands(found, table())


def test_a_column_stands_while_each_of_its_figures_does() -> None:
    other = next(id for id in example.table().figures[SLUGS[1]] if id != ID)
    found = asked(lambda asking: asking.column(ID))

    assert stands(found, table(**{SLUGS[1]: "another"}))
    assert stands(found, moved(SLUGS[1], other))
    for slug in table().column(ID):
        assert not stands(found, moved(slug, ID))
        assert not stands(found, table().only(*(each for each in SLUGS if each != slug)))


@pytest.mark.parametrize(
    "ask", [lambda asking: asking.bikes, lambda asking: asking.marks, lambda asking: asking.only]
)
def test_whatever_is_no_question_asks_for_everything(ask) -> None:
    found = asked(ask)

    assert found.questions == (("all", ""),)
    assert stands(found, table())
    for slug in SLUGS:
        assert not stands(found, table(**{slug: "another"}))


def test_names_are_a_question_of_their_own() -> None:
    found = asked(lambda asking: asking.names)
    first, *others = table().bikes

    assert stands(found, moved(SLUGS[0], ID))
    assert not stands(found, replace(table(), bikes=(replace(first, name="Other"), *others)))


def test_without_marks_nothing_stands() -> None:
    """As where the files cannot be hashed."""
    bare = example.table()
    for ask in (OF_ONE[0], lambda asking: asking.bikes):
        noting = witness(bare)
        ask(noting)
        assert noting.asked().answers == ""
        assert not noting.stands(noting.asked())


def test_every_answer_can_be_told_of_real_figures() -> None:
    """Also of those that are numbers of numpy, or texts with a place in a file, if there were any."""
    whole = tabulate.tabulate(demo.bikes(), demo.content())
    answers = Answers(whole)
    inputs = {id for uses in whole.uses.values() for id in uses}
    questions = [("column", id) for id in whole.kinds] + [("users", id) for id in sorted(inputs)]

    assert len(questions) > 100
    assert len({answers.to([one]) for one in questions}) == len(questions)


RECORD = record_of(example.table(), date(2026, 11, 20), {})


def pages(renderer: Renderer, *, more: Callable[[Renderer], object]) -> list[Output]:
    more(renderer)
    assert renderer.table.get(SLUGS[0], ID)
    return []


@pytest.mark.parametrize(
    ("more", "asked_for"),
    [
        (lambda renderer: renderer.history.releases, []),
        (
            lambda renderer: renderer.history.moved_since(RECORD, [(SLUGS[1], ID)]),
            [("bike", SLUGS[1])],
        ),
        (lambda renderer: renderer.history.now, [("all", ""), *(("bike", slug) for slug in SLUGS)]),
    ],
    ids=["nothing more", "a figure beside its record", "all records"],
)
def test_a_job_tells_what_it_asked(
    more: Callable[[Renderer], object], asked_for: list[tuple[str, str]]
) -> None:
    """The records of the past are of all bikes; what moved of named figures since one of them is of few."""
    renderer = Renderer(table(), replace(example.CONTENT, releases=(RECORD,)), demo.ROOT)
    job: Job = asking(
        renderer, renderer.excerpts.of_texts, partial(pages, more=more), date(2026, 11, 26)
    )
    list(job.make())

    assert job.witness is not None
    assert list(job.witness.asked().questions) == sorted({*asked_for, ("bike", SLUGS[0])})
    assert "pages" in job.reads
    assert "datetime.date(2026, 11, 26)" in job.reads
