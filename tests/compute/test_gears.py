"""Gears and wheels."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute import gears

TEETH = st.integers(9, 60)


@given(chainring=TEETH, cog=TEETH, circumference=st.floats(1.2, 2.4), turns=st.floats(20, 130))
def test_cadence_and_speed_undo_each_other(chainring, cog, circumference, turns):
    """Sixty turns a minute carry one development a second, and back again."""
    metres = gears.development(chainring, cog, circumference)

    assert gears.speed(60.0, metres) == pytest.approx(metres)
    assert gears.cadence(gears.speed(turns, metres), metres) == pytest.approx(turns)


@given(chainring=TEETH, cog=TEETH, inches=st.floats(16, 30))
def test_gear_inches_are_development_over_pi(chainring, cog, inches):
    """Development is π times the gear's diameter, an identity."""
    metres = gears.development(chainring, cog, np.pi * inches * 0.0254)

    assert gears.gear_inches(chainring, cog, inches) == pytest.approx(metres / np.pi / 0.0254)


def test_gears_rise_without_repeats():
    """46/23 and 34/17 are one gear; the rest come in order."""
    every = gears.developments(chainrings=(34, 46), cogs=(11, 17, 23), circumference=2.0)

    np.testing.assert_allclose(
        every, sorted({68 / 23, 68 / 17, 68 / 11, 92 / 17, 92 / 11}), rtol=1e-8
    )


def test_hub_gears_multiply():
    """A hub's ratios act on its one sprocket."""
    ratios = (0.5, 1.0, 1.6)
    every = gears.developments(chainrings=[46], cogs=[23], circumference=2.2, hub_ratios=ratios)

    np.testing.assert_allclose(every, [2.2, 4.4, 7.04])
    assert gears.total_range(every) == pytest.approx(3.2)


@given(
    speeds=st.lists(st.floats(0, 15), min_size=1, max_size=6),
    metres=st.lists(st.floats(1, 10), min_size=1, max_size=12),
    cadence=st.floats(50, 100),
)
def test_nearest_gear_is_nearest(speeds, metres, cadence):
    """No other gear brings the cadence closer, by ratio; nor does padding change the choice."""
    metres = np.sort(metres)
    padded = np.append(metres, [np.nan, np.nan])
    chosen = gears.nearest_gear(np.array(speeds), metres, cadence=cadence)

    wanted = 60 * np.maximum(speeds, 1e-6) / cadence
    distance = np.abs(np.log(metres / wanted[:, None]))
    best = distance.min(axis=1)
    np.testing.assert_allclose(distance[np.arange(len(speeds)), chosen], best, atol=1e-12)
    np.testing.assert_array_equal(
        gears.nearest_gear(np.array(speeds), padded, cadence=cadence), chosen
    )


def test_rest_takes_the_lowest_gear():
    """A standing rider starts in the lowest gear."""
    assert gears.nearest_gear(0.0, np.array([2.0, 4.0, 8.0]), cadence=70.0) == 0


def test_spin_out_margin_of_legs_and_motor_that_agree():
    """6.25 m at 80 rpm is 30 km/h: 1.2 times a motor that assists to 25 km/h, arithmetic."""
    margin = gears.spin_out_margin(6.25, upper_cadence=80.0, assisted_speed=25 / 3.6)

    assert margin == pytest.approx(1.2)


def test_wide_tyres_come_out_long():
    """47-622 rolls 2225 mm in a cycle computer's chart (from memory); we may be 1.5 % over."""
    computed = gears.etrto_circumference(0.047, 0.622)

    assert 0 < computed / 2.225 - 1 <= 0.015


def test_a_bare_26_inch_is_not_a_size():
    """Three rims are sold as 26 inch, so no name is 26 inch alone, and no name is used twice."""
    names = [name for known in gears.BEAD_SEATS.values() for name in known]

    assert '26"' not in names
    assert len(names) == len(set(names))
    assert {559, 571, 590} == {
        bead for bead, known in gears.BEAD_SEATS.items() if any(n.startswith('26"') for n in known)
    }


def test_efficiencies_are_in_order():
    """No drivetrain gives more than it gets."""
    for span in gears.DRIVETRAIN_EFFICIENCY.values():
        assert 0.8 <= span.low <= span.default <= span.high < 1.0
