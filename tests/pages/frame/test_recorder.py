"""What a job asks of table and content is noted, and the fingerprint of an answer moves when the answer does."""

import os
import subprocess
import sys
from dataclasses import fields, replace
from datetime import date
from typing import Any

import pytest

from generator.content.model import Content
from generator.figures import units
from generator.figures.model import FirstInputUse
from generator.figures.records.record import make_record
from generator.figures.table.figures_table import FiguresTable
from generator.pages.frame.recorder import Query, RecordedContent, RecordedTable, Recorder, Source
from generator.specs.bike import Price
from tests.figures import demo
from tests.pages import money_example as money
from tests.pages import site_example as example

ALPA, BETA, GAMMA, DELTA = (bike.slug for bike in example.BIKES)
FINGERPRINTS = {bike.slug: f"fingerprint of {bike.slug}" for bike in example.BIKES}
FIGURE, OTHER = example.KINDS[0].id, example.KINDS[1].id
INPUT = example.WORKING.inputs[0].given


def table(**other_fingerprints: str) -> FiguresTable:
    return replace(example.table(), fingerprints={**FINGERPRINTS, **other_fingerprints})


def without(slug: str) -> FiguresTable:
    bikes = tuple(bike for bike in example.BIKES if bike.slug != slug)
    return replace(example.table(bikes), fingerprints=FINGERPRINTS)


def with_figure(slug: str, id: str, **changes: Any) -> FiguresTable:
    """A figure of one bike changed, and with it the bike's fingerprint."""
    whole = table(**{slug: "another"})
    own = {**whole.figures[slug], id: replace(whole.figures[slug][id], **changes)}
    return replace(whole, figures={**whole.figures, slug: own})


def with_bike(slug: str, **changes: Any) -> FiguresTable:
    whole = table(**{slug: "another"})
    bikes = (replace(bike, **changes) if bike.slug == slug else bike for bike in whole.bikes)
    return replace(whole, bikes=tuple(bikes))


def with_input(slug: str, **changes: Any) -> FiguresTable:
    whole = table(**{slug: "another"})
    use = FirstInputUse(FIGURE, INPUT._replace(**changes))
    return replace(whole, uses={**whole.uses, slug: {**whole.uses[slug], INPUT.id: use}})


def with_kind(**changes: Any) -> FiguresTable:
    whole = table()
    return replace(whole, kinds={**whole.kinds, FIGURE: replace(whole.kinds[FIGURE], **changes)})


def turned() -> FiguresTable:
    """The bikes in another order."""
    whole = table()
    return replace(whole, bikes=whole.bikes[::-1])


MOVED = with_figure(BETA, FIGURE, value=91_000.0)
PRICED = Price(1000.0, "EUR", "1000 EUR", date(2026, 10, 5))

OF_TABLE: list[tuple[Query, list[FiguresTable], list[FiguresTable]]] = [
    (
        ("bike", BETA),
        [MOVED, table(**{BETA: "another"}), without(BETA)],
        [with_figure(ALPA, FIGURE, value=1.0), without(ALPA), turned(), with_kind(title="Other")],
    ),
    (
        ("column", FIGURE),
        [
            MOVED,
            with_figure(BETA, FIGURE, low=80_000.0),
            with_figure(BETA, FIGURE, high=99_000.0),
            with_figure(BETA, FIGURE, basis="measured"),
            with_figure(BETA, FIGURE, conditions="another loop"),
            with_figure(BETA, FIGURE, sentence="It goes nowhere."),
            with_figure(BETA, FIGURE, note="Updated."),
            with_figure(BETA, FIGURE, before_rides=(1.0, 1.0, 1.0)),
            with_figure(BETA, FIGURE, kind=replace(example.KINDS[0], unit=units.make_money_unit("USD"))),
            without(BETA),
        ],
        [with_figure(BETA, OTHER, value=1.0), table(**{BETA: "another"}), without(DELTA)],
    ),
    (
        ("users", INPUT.id),
        [with_input(BETA, value=2.0), with_input(BETA, basis="measured"), without(BETA)],
        [MOVED, table(**{BETA: "another"}), without(DELTA)],
    ),
    (
        ("names", ""),
        [with_bike(BETA, name="Other"), with_bike(BETA, maker="Other"), without(BETA), turned()],
        [MOVED, with_bike(BETA, summary="Other"), with_kind(title="Other")],
    ),
    (("kinds", ""), [with_kind(title="Other"), with_kind(words="Other")], [MOVED, without(BETA)]),
    (
        ("day", ""),
        [with_bike(BETA, price=PRICED)],
        [MOVED, without(BETA), with_bike(BETA, name="Other")],
    ),
    (
        ("table", ""),
        [MOVED, *(table(**{slug: "another"}) for slug in FINGERPRINTS), without(BETA), turned()],
        [table()],
    ),
]  # fmt: skip


@pytest.mark.parametrize(("query", "moving", "staying"), OF_TABLE, ids=lambda each: each[0])
def test_the_answer_of_a_table(
    query: Query, moving: list[FiguresTable], staying: list[FiguresTable]
) -> None:
    before = Source(table(), example.CONTENT).fingerprint(query)

    assert before is not None
    for now in moving:
        assert Source(now, example.CONTENT).fingerprint(query) != before
    for now in staying:
        assert Source(now, example.CONTENT).fingerprint(query) == before


CONTENT = money.content(releases=(make_record(example.table(), date(2026, 11, 20), {}),))
GUIDE, TERM, PAGE = CONTENT.guides[0], CONTENT.terms[0], CONTENT.pages[0]
BODY = {"guides": (replace(GUIDE, body="Other."),)}
RELATION = {"links": tuple(replace(link, relation="none") for link in CONTENT.links)}
WORDS = {"links": tuple(replace(link, words="Other") for link in CONTENT.links)}


def with_term(**changes: Any) -> dict[str, Any]:
    return {"terms": (replace(TERM, **changes), *CONTENT.terms[1:])}


def with_page(**changes: Any) -> dict[str, Any]:
    return {"pages": (replace(PAGE, **changes), *CONTENT.pages[1:])}


def with_setting(**changes: Any) -> dict[str, Any]:
    return {"settings": replace(CONTENT.settings, **changes)}


OF_CONTENT: list[tuple[str, list[dict[str, Any]], list[dict[str, Any]]]] = [
    ("settings", [with_setting(title="Other")], [BODY, RELATION]),
    ("guides", [BODY, {"guides": ()}], [with_term(body="Other."), RELATION]),
    ("terms", [with_term(body="Other.")], [BODY]),
    ("term_index", [with_term(title="Other"), with_term(aliases=("far",))], [with_term(body="Other.")]),
    ("pages", [with_page(body="Other.")], [BODY]),
    ("page_index", [with_page(title="Other")], [with_page(body="Other."), BODY]),
    ("links", [RELATION, WORDS], [BODY]),
    ("link_relations", [RELATION], [WORDS, BODY]),
    ("prices", [{"prices": CONTENT.prices[1:]}], [RELATION]),
    ("priced_bikes", [{"prices": (), "links": ()}], [{"prices": CONTENT.prices[1:]}, RELATION]),
    ("sections", [{"prices": (), "links": ()}], [{"prices": CONTENT.prices[1:]}, BODY]),
    (
        "releases",
        [{"releases": ()}, {"releases": (make_record(MOVED, date(2026, 11, 20), {}),)}],
        [BODY, with_setting(title="Other")],
    ),
    ("model_inputs", [with_setting(electricity_price=1.0), {"routes": ()}], [BODY, RELATION]),
    ("day", [{"day": date(2027, 1, 1)}], [BODY]),
]  # fmt: skip


@pytest.mark.parametrize(("field", "moving", "staying"), OF_CONTENT, ids=lambda each: each)
def test_the_answer_of_a_content(
    field: str, moving: list[dict[str, Any]], staying: list[dict[str, Any]]
) -> None:
    query = (f"content.{field}", "")
    before = Source(table(), CONTENT).fingerprint(query)

    assert before is not None
    for changes in moving:
        assert Source(table(), replace(CONTENT, **changes)).fingerprint(query) != before
    for changes in staying:
        assert Source(table(), replace(CONTENT, **changes)).fingerprint(query) == before


def test_the_day_is_that_of_the_settings_where_they_say_one() -> None:
    given = replace(example.CONTENT, **with_setting(updated=date(2026, 12, 1)))

    assert Source(table(), given).day == date(2026, 12, 1)
    assert Source(table(), given).fingerprint(("day", "")) != Source(
        table(), example.CONTENT
    ).fingerprint(("day", ""))


def test_a_bike_that_is_not_there_is_an_answer() -> None:
    """A page that says so is made again once the bike comes."""
    source = Source(without(BETA), example.CONTENT)

    assert source.fingerprint(("bike", BETA)) is not None
    assert source.fingerprint(("bike", BETA)) != Source(table(), example.CONTENT).fingerprint(
        ("bike", BETA)
    )


def test_without_fingerprints_of_bikes_nothing_counts_as_unchanged() -> None:
    """As where the files cannot be hashed."""
    source = Source(example.table(), example.CONTENT)

    assert source.fingerprint(("bike", BETA)) is None
    assert source.fingerprint(("table", "")) is None
    assert source.fingerprint_all([("kinds", ""), ("bike", BETA)]) is None
    assert source.fingerprint_all([("kinds", "")]) is not None


def test_answers_to_other_queries_are_told_apart() -> None:
    source = Source(table(), example.CONTENT)

    assert source.fingerprint_all([("bike", ALPA)]) != source.fingerprint_all([("bike", BETA)])
    assert source.fingerprint_all([]) is not None
    with pytest.raises(ValueError, match="no query 'nothing'"):
        source.fingerprint(("nothing", ""))


FINE: dict[str, tuple[tuple[Any, ...], Query]] = {
    "bike": ((BETA,), ("bike", BETA)),
    "get": ((BETA, FIGURE), ("bike", BETA)),
    "figures_of": ((BETA,), ("bike", BETA)),
    "rides_of": ((BETA,), ("bike", BETA)),
    "claim_of": ((BETA,), ("bike", BETA)),
    "effects_of": ((BETA,), ("bike", BETA)),
    "missing_of": ((BETA,), ("bike", BETA)),
    "curve": ((BETA, "range.by_level"), ("bike", BETA)),
    "working": ((example.table().figures[BETA][FIGURE],), ("bike", BETA)),
    "ride_grid": ((BETA,), ("bike", BETA)),
    "column": ((FIGURE,), ("column", FIGURE)),
    "users": ((INPUT.id,), ("users", INPUT.id)),
    "names": ((), ("names", "")),
    "kinds": ((), ("kinds", "")),
}
"""Arguments of what asks for less than the whole table, and the query."""


def public(thing: type) -> list[str]:
    """Names of the fields, properties and methods of a dataclass."""
    names = {*dir(thing), *(each.name for each in fields(thing))}
    return sorted(name for name in names if not name.startswith("_"))


def ask(recorded: object, name: str) -> object:
    found = getattr(recorded, name)
    args = FINE[name][0] if name in FINE else ()
    return found(*args) if args else found


def test_fine_queries_are_of_a_table() -> None:
    own = {name for name in vars(RecordedTable) if not name.startswith("_")}

    assert own == set(FINE) <= set(public(FiguresTable))


@pytest.mark.parametrize("name", public(FiguresTable))
def test_whatever_is_asked_of_a_table_is_noted(name: str) -> None:
    """And answered as the table answers; what is no finer query counts as the whole table."""
    recorder = Recorder(Source(table(), example.CONTENT))
    answer = ask(RecordedTable(recorder), name)

    assert recorder.queries == (FINE[name][1] if name in FINE else ("table", ""),)
    if not callable(answer):
        assert answer == ask(recorder.source.table, name)
    assert recorder.source.fingerprint_all(recorder.queries) is not None


@pytest.mark.parametrize("name", public(Content))
def test_whatever_is_asked_of_a_content_is_noted(name: str) -> None:
    recorder = Recorder(Source(table(), CONTENT))

    assert getattr(RecordedContent(recorder), name) == getattr(CONTENT, name)
    assert recorder.queries == ((f"content.{name}", ""),)
    assert recorder.source.fingerprint_all(recorder.queries) is not None


def test_the_day_is_noted() -> None:
    recorder = Recorder(Source(table(), example.CONTENT))

    assert recorder.day == date(2026, 10, 4)
    assert recorder.queries == (("day", ""),)


def test_a_chart_of_many_bikes_asks_for_the_whole_table() -> None:
    recorder = Recorder(Source(table(), example.CONTENT))
    RecordedTable(recorder).curve("EUR", "price.range")

    ((name, _),) = recorder.queries
    assert name == "table"


ALL_ANSWERS = """
from generator.pages.frame.recorder import Source
from tests.pages.frame import test_recorder as these

source = Source(these.table(), these.CONTENT)
queries = [query for query, *_ in these.OF_TABLE]
queries += [(f"content.{name}", "") for name in these.public(these.Content)]
print([source.fingerprint(query) for query in queries])
"""


def test_another_process_finds_the_same_fingerprints() -> None:
    """Whatever the seed of its hashes, by which Python orders sets."""
    found = {
        subprocess.run(
            [sys.executable, "-c", ALL_ANSWERS],
            cwd=demo.ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            text=True,
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }

    assert len(found) == 1
    assert "None" not in found.pop()


def test_every_answer_has_a_fingerprint_with_real_figures() -> None:
    """Also where figures have numbers of numpy, or texts with a place in a file, if there were any."""
    source = Source(demo.table(), demo.content())
    inputs = {id for uses in source.table.uses.values() for id in uses}
    queries = [("column", id) for id in source.table.kinds]
    queries += [("users", id) for id in sorted(inputs)]

    assert len(queries) > 100
    assert len({source.fingerprint(query) for query in queries}) == len(queries)


RECORD = make_record(example.table(), date(2026, 11, 20), {})
