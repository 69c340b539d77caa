"""The figures of one bike: encoded and decoded again, put together to a table, computed in groups."""

import gc
import random
from collections.abc import Iterator
from dataclasses import fields

import numpy as np
import pytest
from msgspec import DecodeError  # a ValueError

from generator.figures.inputs.case import Case
from generator.figures.table.assembly import assemble_table
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import (
    ComputedBike,
    group_bikes,
    pause_gc,
    restore_figures,
    store_figures,
)
from generator.figures.table.tabulate import compute_bikes, list_kinds, tabulate
from generator.specs.encoding import decode, encode
from tests.figures import demo

SLUGS = ("pellimor-quarl", "lumtarn-izzul", "gromblo-drusk")
"""One with own rides, one in a light file, one whose maker states almost nothing."""


@pytest.fixture(scope="module")
def computed() -> list[ComputedBike]:
    """Every bike of the demo, with the chooser's cells."""
    found = compute_bikes(demo.bikes(), demo.content(), for_pages=True)
    return [one for one, _ in found]


def test_every_bike_of_the_demo_comes_back(computed: list[ComputedBike]) -> None:
    """Equal field by field, in the same order, and of the same types."""
    assert [one.slug for one in computed] == [bike.slug for bike in demo.bikes()]
    for one in computed:
        back = decode(ComputedBike, encode(one))

        assert back == one
        for field in fields(ComputedBike):
            there, here = getattr(back, field.name), getattr(one, field.name)
            assert type(there) is type(here), field.name
            if isinstance(here, dict):
                assert list(there) == list(here), field.name
        assert encode(back) == encode(one)


def test_figures_come_back_with_the_kinds_of_the_catalogue() -> None:
    """Money has a unit of its own; all else of a kind is the same object for every bike."""
    table = demo.table()
    own = set()
    for slug, figures in table.figures.items():
        stored = decode(ComputedBike, encode(ComputedBike(slug, store_figures(figures))))
        back = restore_figures(slug, stored.figures, table.kinds)
        assert back == figures
        assert list(back) == list(figures)
        for id, figure in back.items():
            assert id == "spec.price" or figure.kind is table.kinds[id] or "cost" in id, id
            if figure.kind is not table.kinds[id]:
                own.add(figure.kind.unit.si)
    assert own, "the demo has prices in a second currency"


def test_bytes_that_were_cut_short_hold_no_bike(computed: list[ComputedBike]) -> None:
    data = encode(computed[0])
    for length in (*range(0, len(data), 53), len(data) - 1):
        with pytest.raises(DecodeError):
            decode(ComputedBike, data[:length])


def test_bytes_that_were_changed_hold_a_bike_or_nothing(computed: list[ComputedBike]) -> None:
    """Nothing but a value of this type comes, or a ValueError; never another error."""
    chance = random.Random(1)
    data, refused = encode(computed[0]), 0
    for _ in range(1000):
        place = chance.randrange(len(data))
        other = data[:place] + bytes([chance.randrange(256)]) + data[place + 1 :]
        try:
            assert isinstance(decode(ComputedBike, other), ComputedBike)
        except ValueError:
            refused += 1
    assert refused > 200


@pytest.mark.parametrize("data", [b"", b"\xc0", encode([1]), encode({"slug": 1}), encode({})])
def test_what_is_no_bike_is_refused(data: bytes) -> None:
    with pytest.raises(DecodeError):
        decode(ComputedBike, data)


@pytest.mark.parametrize("for_pages", [False, True])
def test_a_table_put_together_is_that_of_all_at_once(for_pages: bool) -> None:
    """From single bikes that were encoded and decoded, in any order, with what pages need and without."""
    bikes, content = demo.some(*SLUGS), demo.content()
    found = compute_bikes(bikes, content.model_inputs, for_pages=for_pages)
    alone = {
        one.slug: (decode(ComputedBike, encode(one)), details) for one, details in reversed(found)
    }
    table = assemble_table(
        bikes,
        content,
        list_kinds(bikes, content),
        {slug: one for slug, (one, _) in alone.items()},
        lambda slug: alone[slug][1],
        fingerprints={slug: slug.upper() for slug in SLUGS},
    )
    whole = tabulate(bikes, content)

    assert table.figures == whole.figures
    assert list(table.figures) == list(whole.figures) == list(SLUGS)
    assert list(table.kinds) == list(whole.kinds)
    for name in ("bikes", "kinds", "missing", "claims", "effects", "rides", "uses"):
        assert getattr(table, name) == getattr(whole, name), name
    assert table.grid() == whole.grid()
    assert table.fingerprints == {slug: slug.upper() for slug in SLUGS}
    for slug in SLUGS:
        assert dict(table.details.workings(slug)) == dict(whole.details.workings(slug))
        one, other = table.ride_grid(slug), whole.ride_grid(slug)
        assert (one is None) == (other is None)
        if one and other:
            np.testing.assert_array_equal(one.logs, other.logs)


def test_a_table_of_no_bikes() -> None:
    table = tabulate((), demo.content())

    assert isinstance(table, FiguresTable)
    assert (table.bikes, table.kinds, table.figures) == ((), {}, {})
    assert compute_bikes((), demo.content()) == []


@pytest.mark.parametrize(("count", "most"), [(0, 5), (1, 5), (5, 5), (11, 5), (30, 12)])
def test_groups_are_even(count: int, most: int) -> None:
    bikes = [demo.bikes()[place % 30] for place in range(count)]
    found = group_bikes(bikes, most)

    assert [bike for group in found for bike in group] == bikes
    assert len(found) == -(-count // most)
    sizes = [len(group) for group in found] or [0]
    assert max(sizes) <= most
    assert max(sizes) - min(sizes) <= 1


@pytest.fixture
def searching() -> Iterator[None]:
    """Python searches for cycles again afterwards, whatever a test has done."""
    yield
    gc.enable()


@pytest.mark.usefixtures("searching")
def test_intermediate_results_go_at_once() -> None:
    """Tables of traction of a large catalogue must not wait in memory for the search for cycles, which rests meanwhile."""
    gc.collect()
    gc.disable()
    before = sum(type(each) is Case for each in gc.get_objects())
    compute_bikes(demo.some(demo.UNLIKE[0]), demo.content())
    after = sum(type(each) is Case for each in gc.get_objects())

    assert after == before
    assert not gc.isenabled()


def test_the_search_goes_on_afterwards() -> None:
    compute_bikes(demo.some(demo.UNLIKE[0]), demo.content())

    assert gc.isenabled()


def test_the_search_rests_within_and_is_as_it_was_afterwards() -> None:
    with pause_gc():
        assert not gc.isenabled()
        with pause_gc():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()


def test_the_search_goes_on_after_an_error() -> None:
    with pytest.raises(KeyError), pause_gc():
        raise KeyError
    assert gc.isenabled()


@pytest.mark.usefixtures("searching")
def test_where_nothing_is_searched_it_stays_so() -> None:
    gc.disable()
    with pause_gc():
        assert not gc.isenabled()
    assert not gc.isenabled()
