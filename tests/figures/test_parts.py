"""A part of a catalogue leaves nothing behind but what it found, and disturbs nobody."""

import gc

from generator.figures.case import Case
from generator.figures.tabulate import part
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
