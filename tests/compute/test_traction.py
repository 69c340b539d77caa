"""Rider, gears, law and motor together: forces at the tyre."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute import gears
from generator.compute.traction import gear_in_use, gear_thresholds, traction
from tests.compute import rig

MID = rig.drive(
    machine=rig.MACHINE._replace(constant=2.6, torque_limit=65.0), at_crank=1.0, cadence_limit=100.0
)
REACH = np.array([2.0, 3.0, 4.5, 6.5, np.nan])


@given(speed=st.floats(0.2, 12.0), cadence=st.floats(50.0, 100.0))
def test_gear_is_the_nearest_to_the_cadence_wanted(speed, cadence):
    """Thresholds by thirds of the geometric mean find the gear that a search over all gears finds."""
    gear = gear_in_use(speed, gear_thresholds(REACH, cadence))
    turning = 60.0 * speed / REACH[:4]

    assert abs(np.log(turning[gear] / cadence)) == pytest.approx(
        np.min(np.abs(np.log(turning / cadence)))
    )
    assert gear == gears.nearest_gear(speed, REACH[:4], cadence=cadence)


@given(speed=st.floats(0.2, 6.0), development=st.floats(2.0, 8.0))
def test_rider_power_reaches_the_tyre_less_the_chain(speed, development):
    """Force × speed = pedal power × drivetrain efficiency: identity."""
    found = traction(speed, development, pedaller=rig.tireless(), drive=rig.drive())

    assert found.rider_force * speed == pytest.approx(80.0 * 0.96)


def test_legs_cannot_push_harder_than_their_weight():
    """On a crawling crank torque is the limit: T × ω, not the wanted power."""
    found = traction(0.5, 5.0, pedaller=rig.pedaller(), drive=rig.drive())

    assert found.rider_power == pytest.approx(45.0 * 2 * np.pi * 0.5 / 5.0)


def test_legs_cannot_follow_beyond_flat_out():
    """Above the flat-out cadence the rider adds nothing; up to the upper one all of it."""
    cadence = np.array([80.0, 90.0, 100.0, 110.0, 130.0])
    found = traction(cadence * 3.0 / 60.0, 3.0, pedaller=rig.pedaller(), drive=rig.drive())

    np.testing.assert_allclose(found.rider_power, [80.0, 80.0, 40.0, 0.0, 0.0], atol=1e-9)


def test_smaller_wheel_climbs_better():
    """A hub's torque reaches the road as T/r: identity."""
    drive = rig.drive(law=rig.law(ratio=np.inf), wheel_radius=np.array([0.25, 0.35]))
    found = traction(0.3, 3.0, pedaller=rig.tireless(), drive=drive)

    np.testing.assert_allclose(found.motor_force, 40.0 / np.array([0.25, 0.35]))


def test_mid_drive_uses_the_gears():
    """A mid drive's torque is multiplied by the gear and loses what the chain loses: identity."""
    drive = MID._replace(law=rig.law(ratio=np.inf))
    reach = np.array([2.0, 4.0])
    found = traction(0.2, reach, pedaller=rig.tireless(), drive=drive)

    np.testing.assert_allclose(found.motor_force, 65.0 * 2 * np.pi / reach * 0.96)


def test_mid_drive_fades_above_its_cadence():
    """Help of a mid drive fades above its own cadence limit: common practice, no source."""
    cadence = np.array([90.0, 105.0, 111.0])
    found = traction(cadence * 3.0 / 60.0, 3.0, pedaller=rig.tireless(), drive=MID)

    assert found.motor_force[0] > found.motor_force[1] > found.motor_force[2] == 0.0


def test_idle_direct_drive_holds_back_and_costs_standby_only():
    """An idle direct drive drags with k·I₀/r and draws only the power of display and controller."""
    drive = rig.drive(law=rig.law(ratio=0.0), freewheels=np.array([0.0, 1.0]))
    found = traction(5.0, 5.0, pedaller=rig.tireless(), drive=drive)

    np.testing.assert_allclose(found.motor_force, [-1.5 * 0.5 / 0.35, 0.0])
    np.testing.assert_allclose(found.battery_power, 4.0)


def test_push_falls_smoothly_into_the_limit_of_a_direct_drive():
    """Between help and drag there is no step larger than the drag itself."""
    speeds = np.linspace(6.0, 7.2, 400)
    drive = rig.drive(freewheels=0.0)
    force = traction(speeds, 6.5, pedaller=rig.tireless(), drive=drive).motor_force
    drag = 1.5 * 0.5 / 0.35

    assert np.all(np.diff(force) < 0.5 * drag)
    assert np.all(force >= -drag - 1e-9)


@given(
    speed=st.floats(0.0, 14.0),
    development=st.floats(1.5, 9.0),
    ratio=st.sampled_from([0.0, 0.5, 2.0, np.inf]),
    at_crank=st.sampled_from([0.0, 1.0]),
)
def test_scalar_is_array(speed, development, ratio, at_crank):
    """One by one or all at once is the same."""

    def drive(ratio, at_crank):
        return rig.drive(law=rig.law(ratio=ratio), at_crank=at_crank, cadence_limit=100.0)

    alone = traction(speed, development, pedaller=rig.pedaller(), drive=drive(ratio, at_crank))
    together = traction(
        np.array([3.0, speed]),
        np.array([4.0, development]),
        pedaller=rig.pedaller(),
        drive=drive(np.array([1.0, ratio]), np.array([1.0, at_crank])),
    )

    for part, whole in zip(alone, together, strict=True):
        assert part == whole[1]
