"""The method page's text comes from the code, and every function of the physics has one."""

import re

from generator.figures.simulation.physics import SYMBOLS, describe_modules


def test_every_function_says_what_it_gives():
    """Each public function has a one-sentence summary, and no mark-up is left in the running text."""
    found = describe_modules()

    assert {
        "air",
        "road",
        "gears",
        "battery",
        "motor",
        "rider",
        "assist",
        "ride",
        "range",
        "hills",
        "claims",
    } <= {room.name for room in found}
    for room in found:
        assert room.summary
        for one in room.functions:
            assert one.summary.endswith((".", "]", ":")) or "[" in one.summary, one
            assert not re.search(r"`|\[\d+\]_|\.\. \[", one.summary + one.notes + one.references), (
                one
            )


def test_symbols_are_listed_once():
    """One meaning for each symbol."""
    symbols = [part for symbol, _, _ in SYMBOLS for part in symbol.split(", ")]

    assert len(symbols) == len(set(symbols))
