"""What claims imply."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute import claims, road


def test_range_and_consumption_undo_each_other():
    """500 Wh over 100 km are 5 Wh/km, or 18 J/m, and back: arithmetic."""
    consumption = claims.implied_consumption(500 * 3600, distance=100e3)

    assert consumption == pytest.approx(18.0)
    assert claims.implied_range(500 * 3600, consumption=consumption) == pytest.approx(100e3)


def test_power_claim_beyond_the_battery():
    """36 V × 15 A are 540 W, so 750 W would need an efficiency of 1.39: arithmetic."""
    assert claims.electrical_power(36.0, current=15.0) == pytest.approx(540.0)
    assert claims.claimed_efficiency(750.0, voltage=36.0, current=15.0) == pytest.approx(
        1.389, abs=5e-4
    )


def test_energy_gap():
    """36 V × 14 Ah are 504 Wh; 520 Wh state 3.2 % too much: arithmetic."""
    gap = claims.energy_gap(520 * 3600, voltage=36.0, charge=14 * 3600)

    assert gap == pytest.approx(0.0317, abs=5e-5)


@given(grade=st.floats(-0.3, 0.4), mass=st.floats(60, 250), radius=st.floats(0.2, 0.37))
def test_wheel_torque_is_the_force_of_the_road(grade, mass, radius):
    """Torque is the resistance without air, times the wheel's radius."""
    torque = claims.wheel_torque(grade, mass=mass, crr=0.008, wheel_radius=radius)

    force = road.resistance(1.0, grade=grade, mass=mass, crr=0.008, cda=0.0, air_density=1.2)
    assert torque == pytest.approx(force * radius)


def test_bigger_wheels_need_more_torque():
    """The same hill on a wheel half as big needs half the torque: why small wheels climb well."""
    hill = {"mass": 110.0, "crr": 0.007}

    small = claims.wheel_torque(0.1, wheel_radius=0.17, **hill)
    assert claims.wheel_torque(0.1, wheel_radius=0.34, **hill) == pytest.approx(2 * small)
