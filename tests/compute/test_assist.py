"""The assist law: facts of the trade (common practice, no source), EN 15194, Japan's ratio."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute import assist
from generator.compute.traction import traction
from tests.compute import rig

KMH = 1 / 3.6
SPEEDS = np.linspace(0.5, 8.0, 151)
DEVELOPMENT = 5.0


def push(speed, drive, *, power=80.0, pedalling=1.0):
    """Motor's force at the tyre, legs able to follow at any speed. [N]"""
    found = traction(
        speed, DEVELOPMENT, pedaller=rig.tireless(power), drive=drive, pedalling=pedalling
    )
    return found.motor_force


def test_first_levels_of_a_current_limited_bike():
    """Levels that draw about 4 A and 10 A give about 15 % and 40 % of full power.

    Common practice, no source; ± 3 points. The controller's limit is inferred from one level and the other is
    predicted, both ways round.
    """
    from_first, from_second = 4.0 / 0.15, 10.0 / 0.40

    assert assist.share_of_full(10.0, from_first) == pytest.approx(0.40, abs=0.03)
    assert assist.share_of_full(4.0, from_second) == pytest.approx(0.15, abs=0.03)


def test_level_is_the_least_of_what_is_set():
    """Current, share and controller together: the lowest counts, and no share passes the whole."""
    current = assist.level_current(
        current=np.array([np.inf, 10.0, 10.0, np.inf]),
        share=np.array([1.0, 1.0, 0.3, 0.5]),
        full_current=20.0,
    )

    np.testing.assert_allclose(current, [20.0, 10.0, 6.0, 10.0])
    assert assist.share_of_full(30.0, 20.0) == 1.0


def test_level_lets_go_at_its_limit_and_takes_up_again_below():
    """At a level's speed limit the motor lets go; below it takes up again. Common practice, no source."""
    drive = rig.drive(law=rig.law(ratio=np.inf, speed_limit=18 * KMH))

    below, over, again = push(np.array([15.0, 18.5, 15.0]) * KMH, drive)

    assert below > 10.0
    assert over == 0.0
    assert again == below


def test_speed_limit_levels_pull_alike_until_their_limit():
    """Pure speed-limit levels all pull with the same force below their fade. Common practice, no source."""
    limits = np.array([[12.0], [15.0], [18.0], [21.0], [25.0]]) * KMH
    drive = rig.drive(law=rig.law(ratio=np.inf, speed_limit=limits))
    speeds = np.linspace(2.0, 10.0, 20) * KMH

    force = push(speeds, drive)

    np.testing.assert_allclose(force, np.broadcast_to(force[-1], force.shape), rtol=1e-12)


def test_help_falls_progressively_to_nothing():
    """EN 15194 (as TBIS 15194:2019 §4.2.13): output falls progressively, nil at the cut-off speed."""
    factor = assist.taper_factor(SPEEDS, speed_limit=rig.LIMIT, taper=1.5 * KMH)

    assert np.all(np.diff(factor) <= 0.0)
    assert np.all(factor[SPEEDS >= rig.LIMIT] == 0.0)
    assert np.all(factor[rig.LIMIT - 1.5 * KMH >= SPEEDS] == 1.0)
    assert np.max(np.abs(np.diff(factor))) < 0.13  # no jump wider than a step of the grid


@pytest.mark.parametrize("ratio", [1.5, np.inf])
def test_nothing_pushes_beyond_the_cut_off(ratio):
    """The force at the tyre is nil beyond the cut-off, for a torque and for a cadence law."""
    force = push(SPEEDS, rig.drive(law=rig.law(ratio=ratio)))

    assert np.all(force[SPEEDS >= rig.LIMIT] == 0.0)
    assert np.all(force[rig.LIMIT - 0.05 > SPEEDS] > 0.0)


def test_torque_law_needs_a_push():
    """A torque law multiplies the rider's power; without any it gives none. Common practice, no source."""
    drive = rig.drive(law=rig.law(ratio=2.0))

    assert push(4.0, drive, pedalling=0.0) == 0.0
    soft, hard = push(4.0, drive, power=50.0), push(4.0, drive, power=100.0)
    assert soft * 4.0 == pytest.approx(2.0 * 50.0)
    assert hard == pytest.approx(2.0 * soft)


def test_cadence_law_does_not_look_at_effort():
    """A cadence law gives full assistance for a gentle push. Common practice, no source."""
    drive = rig.drive(law=rig.law(ratio=np.inf, current_cap=6.0))

    assert push(4.0, drive, power=20.0) == push(4.0, drive, power=150.0) > 0.0


def test_more_pulses_answer_sooner():
    """More pulses a turn respond sooner: common practice; four of twelve are 120°: identity."""
    angles = np.degrees(assist.take_up_angle(4, np.array([8, 12, 24, 36])))

    assert angles[1] == pytest.approx(120.0)
    assert np.all(np.diff(angles) < 0.0)


def japan(speed):
    """Statutory motor force over rider force: 2 to 10 km/h, 2 − (v − 10)/7 to 0 at 24 km/h.

    Japan's Road Traffic Act enforcement rules, art. 1-3.
    """
    return np.clip(2.0 - (speed / KMH - 10.0) / 7.0, 0.0, 2.0)


def test_japan_may_be_fed_as_a_law():
    """A ratio that falls with speed is a law like another; forces keep to the statutory curve."""
    law = rig.law(ratio=japan(SPEEDS), speed_limit=np.inf)
    strong = rig.MACHINE._replace(torque_limit=200.0, current_limit=60.0, resistance=0.02)
    drive = rig.drive(law=law, machine=strong, battery_resistance=0.01, drivetrain_efficiency=1.0)

    found = traction(SPEEDS, DEVELOPMENT, pedaller=rig.tireless(60.0), drive=drive)

    np.testing.assert_allclose(found.motor_force / found.rider_force, japan(SPEEDS), atol=1e-9)
    assert found.motor_force[np.searchsorted(SPEEDS, 24 * KMH)] == 0.0


@given(speed=st.floats(0.0, 12.0), power=st.floats(0.0, 400.0), ratio=st.floats(0.0, 5.0))
def test_motor_never_gives_more_than_the_law_asks(speed, power, ratio):
    """Mechanical power stays within ratio × rider power, whatever the speed."""
    found = traction(
        speed,
        DEVELOPMENT,
        pedaller=rig.tireless(power),
        drive=rig.drive(law=rig.law(ratio=ratio, speed_limit=np.inf)),
    )

    assert found.motor_force * speed <= ratio * power * (1 + 1e-9) + 1e-9
