"""Hills: balance of forces, wheels that lift or slip, motors that heat up."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from generator.compute import hills, road

ROAD = {"mass": 105.0, "crr": 0.007, "cda": 0.55, "air_density": 1.2}
BIKE = {"a": 0.65, "b": 0.45, "h": 1.05, "wheelbase": 1.10}


def wheel_loads(grade, *, a, b, h, wheelbase):
    """Front and rear load over weight on a slope, from moments about the contacts."""
    slope = np.arctan(grade)
    front = (b * np.cos(slope) - h * np.sin(slope)) / wheelbase
    return front, np.cos(slope) - front


def test_front_wheel_lifts_when_its_load_is_gone():
    """At the lift grade the front wheel carries nothing."""
    front, _ = wheel_loads(hills.lift_grade(BIKE["b"], BIKE["h"]), **BIKE)

    assert front == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(("place", "wheel"), [("rear hub", 1), ("mid", 1), ("front hub", 0)])
@pytest.mark.parametrize("mu", [0.2, 0.4])
def test_wheel_slips_when_friction_is_used_up(place, wheel, mu):
    """The closed form is where friction on the driven wheel equals the pull of the slope."""

    def spare(grade):
        load = wheel_loads(grade, **BIKE)[wheel]
        return mu * load - np.sin(np.arctan(grade))

    assert hills.slip_grade(place, mu=mu, **BIKE) == pytest.approx(brentq(spare, 0, 0.9))


def test_rear_wheel_that_cannot_slip():
    """With enough grip the rear wheel holds to any grade; in an array, only there."""
    found = hills.slip_grade("rear hub", mu=np.array([0.5, 1.2]), **BIKE)

    np.testing.assert_array_equal(np.isinf(found), [False, True])


@given(speed=st.floats(1, 10), power=st.floats(50, 900))
def test_grade_by_power_balances(speed, power):
    """On the grade found, the power at the tyre is the power given."""
    grade = hills.grade_by_power(speed, power, **ROAD)

    assume(not np.isnan(grade))  # some powers would lift the bicycle straight up
    assert road.power(speed, grade=grade, **ROAD) == pytest.approx(power, rel=1e-6)


@given(power=st.floats(1, 1500), grade=st.floats(-0.15, 0.25), wind=st.floats(-10, 10))
def test_steady_speed_inverts_power(power, grade, wind):
    """At the speed found, the power at the tyre is the power given."""
    speed = hills.steady_speed(power, grade=grade, headwind=wind, **ROAD)

    found = road.power(speed, grade=grade, headwind=wind, **ROAD)
    assert found == pytest.approx(power, rel=1e-6, abs=1e-6)


def test_steady_speed_broadcasts():
    """Powers along one axis and grades along another give a table."""
    powers, grades = np.array([100.0, 300.0]), np.array([[0.0], [0.05], [0.10]])
    table = hills.steady_speed(powers, grade=grades, **ROAD)

    assert table.shape == (3, 2)
    assert table[2, 1] == hills.steady_speed(300.0, grade=0.10, **ROAD)


@pytest.mark.parametrize("loss", [120.0, 180.0, 400.0])
def test_heating_agrees_with_integration(loss):
    """The closed form is where the integrated heat balance reaches the limit."""
    resistance, time_constant, ambient, limit = 0.9, 1500.0, 15.0, 115.0

    def balance(_, rise):
        return (loss * resistance - rise) / time_constant

    def reached(_, rise):
        return rise[0] - (limit - ambient)

    reached.terminal = True
    solution = solve_ivp(balance, (0, 1e5), [0.0], events=reached, rtol=1e-10, atol=1e-10)
    minutes = hills.minutes_to_limit(
        loss,
        thermal_resistance=resistance,
        time_constant=time_constant,
        ambient=ambient,
        limit=limit,
    )
    assert minutes == pytest.approx(solution.t_events[0][0] / 60, rel=1e-6)
    rise = hills.temperature_rise(
        minutes * 60, loss_power=loss, thermal_resistance=resistance, time_constant=time_constant
    )
    assert rise == pytest.approx(limit - ambient)


def test_some_motors_never_get_hot():
    """A loss that the air carries away lasts for ever; a motor that starts hot gives up at once."""
    constants = {"thermal_resistance": 1.0, "time_constant": 1200.0, "ambient": 20.0}

    found = hills.minutes_to_limit(np.array([0.0, 100.0, 101.0]), limit=120.0, **constants)
    np.testing.assert_array_equal(np.isinf(found), [True, True, False])
    assert hills.minutes_to_limit(50.0, limit=10.0, **constants) == 0.0
