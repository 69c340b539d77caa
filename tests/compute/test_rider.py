"""The rider: crank torque, cadence, endurance."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from generator.compute import rider

ANGLES = st.floats(0, 20)
RIPPLES = st.floats(0, 1)


@given(angle=ANGLES, mean=st.floats(1, 120), ripple=RIPPLES, half_turns=st.integers(1, 4))
def test_whole_half_turns_average_out(angle, mean, ripple, half_turns):
    """Averaged over whole half turns the torque is its mean, wherever the crank stands."""
    over = rider.moving_mean(angle, span=half_turns * np.pi, mean_torque=mean, ripple=ripple)

    assert over == pytest.approx(mean)
    assert rider.half_turn_mean(angle, mean_torque=mean, ripple=ripple) == pytest.approx(mean)


@given(angle=ANGLES, span=st.floats(0.1, 7), ripple=RIPPLES)
def test_moving_mean_is_the_integral(angle, span, ripple):
    """The closed form is what numerical integration of the torque gives."""

    def torque(at):
        return rider.crank_torque(at, mean_torque=20.0, ripple=ripple)

    area, _ = quad(torque, angle - span, angle)

    found = rider.moving_mean(angle, span=span, mean_torque=20.0, ripple=ripple)
    assert found == pytest.approx(area / span, rel=1e-6)


def test_a_shorter_filter_ripples():
    """Averaged over a quarter turn the torque still swings by more than a third of its mean."""
    turn = np.linspace(0, 2 * np.pi, 200)
    over = rider.moving_mean(turn, span=np.pi / 2, mean_torque=12.7, ripple=0.7)

    assert np.ptp(over) > 12.7 / 3


def test_mean_torque_of_the_published_row():
    """100 W at 75 rpm is 12.7 N m, as printed; 575 W at 50 rpm is 109.8, an identity."""
    assert rider.mean_crank_torque(100, cadence=75) == pytest.approx(12.7, abs=0.05)
    assert rider.mean_crank_torque(575, cadence=50) == pytest.approx(109.8, abs=0.05)


@given(short=st.floats(600, 18000), long=st.floats(600, 18000))
def test_longer_rides_allow_less(short, long):
    """A longer ride never allows more power, and an hour allows what it says."""
    short, long = sorted((short, long))

    shorter = rider.sustainable_power(short, one_hour_power=120.0)
    assert rider.sustainable_power(long, one_hour_power=120.0) <= shorter
    assert rider.sustainable_power(3600, one_hour_power=120.0) == pytest.approx(120.0)


@given(slow=st.floats(0, 140), fast=st.floats(0, 140))
def test_legs_give_up(slow, fast):
    """Full power up to the upper cadence, nothing at flat out, never rising between."""
    slow, fast = sorted((slow, fast))
    legs = {"upper": 85.0, "flat_out": 110.0}

    found = rider.power_at_cadence(100.0, np.array([85.0, slow, fast, 110.0]), **legs)
    assert found[0] == 100.0
    assert found[1] >= found[2]
    assert found[3] == 0.0


def test_legs_give_up_smoothly():
    """The fall has no corner: its slope is zero at both ends."""
    step = 1e-4
    near = rider.power_at_cadence(
        100.0, np.array([85 + step, 110 - step]), upper=85.0, flat_out=110.0
    )

    np.testing.assert_allclose(near, [100.0, 0.0], atol=1e-4)
