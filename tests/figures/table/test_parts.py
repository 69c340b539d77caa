"""A part of a catalogue leaves nothing behind but what it found, and disturbs nobody."""

import gc

from generator.figures.inputs.case import Case
from generator.figures.table.parts import unsearched
from generator.figures.table.tabulate import part
from tests.figures import demo


def test_intermediate_results_go_at_once() -> None:
    """Tables of traction of a large catalogue must not wait in memory for the search for cycles, which rests meanwhile."""
    gc.collect()
    gc.disable()
    try:
        before = sum(type(each) is Case for each in gc.get_objects())
        part(demo.some(demo.UNLIKE[0]), demo.content())
        after = sum(type(each) is Case for each in gc.get_objects())
        assert after == before
        assert not gc.isenabled()
    finally:
        gc.enable()


def test_the_search_goes_on_afterwards() -> None:
    part(demo.some(demo.UNLIKE[0]), demo.content())

    assert gc.isenabled()


def test_what_was_made_unsearched_stays_so_until_the_end() -> None:
    assert gc.isenabled()
    frozen = gc.get_freeze_count()
    with unsearched() as settle:
        assert not gc.isenabled()
        settle()
        assert gc.isenabled()
        assert gc.get_freeze_count() > frozen + 1000

    assert gc.isenabled()
    assert gc.get_freeze_count() == 0


def test_a_part_made_within_searches_as_little() -> None:
    """One that is made once all has settled does not bring back what has."""
    with unsearched() as settle:
        settle()
        frozen = gc.get_freeze_count()
        with unsearched():
            assert not gc.isenabled()
        assert gc.isenabled()
        assert gc.get_freeze_count() > 0.9 * frozen


def test_where_nothing_is_searched_it_stays_so() -> None:
    gc.disable()
    try:
        with unsearched() as settle:
            settle()
            assert not gc.isenabled()
        assert not gc.isenabled()
    finally:
        gc.enable()
