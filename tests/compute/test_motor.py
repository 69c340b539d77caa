"""The motor: identities of the DC machine, limits that bite, and where the energy goes.

Equations of the separately excited DC machine, as in any text on electric drives: V = kω + IR,
T = k (I − I₀), P = V I. Efficiency's peak and zeros are identities that follow from them.
"""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from generator.compute import motor
from tests.compute.rig import MACHINE, SAG, VOLTAGE

BARE = MACHINE._replace(
    torque_limit=np.inf, current_limit=np.inf, controller_efficiency=1.0, reduction_efficiency=1.0
)
STALL = VOLTAGE / BARE.resistance
SPEEDS = st.floats(0.0, 24.0)
COMMANDS = st.floats(0.5, 80.0)


def run(speed, command, *, machine=MACHINE, voltage=VOLTAGE, resistance=SAG, **rest):
    return motor.operating_point(
        speed, command, machine=machine, voltage=voltage, battery_resistance=resistance, **rest
    )


def efficiency_at(current):
    """Efficiency of the bare machine, fully open on a stiff supply, at the speed at which it takes a current."""
    speed = (VOLTAGE - current * BARE.resistance) / BARE.constant
    point = run(speed, np.inf, machine=BARE, resistance=0.0)
    assert point.current == pytest.approx(current)
    return float(point.torque * speed / point.battery_power)


def test_peak_efficiency_is_where_the_identity_says():
    """η_max = (1 − √(I₀/I_stall))², at I = √(I₀ I_stall): identity."""
    best = minimize_scalar(lambda amps: -efficiency_at(amps), bounds=(1.0, 60.0), method="bounded")

    assert best.x == pytest.approx(np.sqrt(BARE.no_load_current * STALL), rel=1e-3)
    expected = motor.peak_efficiency(no_load_current=BARE.no_load_current, stall_current=STALL)
    assert -best.fun == pytest.approx(float(expected), rel=1e-6)


def test_efficiency_is_nothing_at_stall():
    """At standstill all of V²/R is heat: identity."""
    point = run(0.0, np.inf, machine=BARE, resistance=0.0)

    assert point.current == pytest.approx(STALL)
    assert point.copper_loss == pytest.approx(VOLTAGE**2 / BARE.resistance)
    assert point.battery_power == pytest.approx(point.copper_loss)


def test_efficiency_vanishes_at_the_no_load_current():
    """Torque goes to zero with I → I₀, and the input does not: identity."""
    assert efficiency_at(BARE.no_load_current * 1.0001) == pytest.approx(0.0, abs=2e-4)


def test_machine_that_spins_too_fast_is_off():
    """Above V/k back-EMF is more than the battery's voltage; a motor does not charge."""
    point = run(VOLTAGE / MACHINE.constant + 0.5, np.inf)

    assert (point.torque, point.current, point.battery_power) == (0.0, 0.0, 0.0)


def test_torque_limit_bites():
    """At a crawl the torque limit is all that holds it, with current to spare."""
    assert run(0.5, np.inf).torque == pytest.approx(MACHINE.torque_limit)


def test_battery_current_limit_bites():
    """At middle speed the battery gives the controller's limit: power is i (V − i R_b)."""
    point = run(12.0, np.inf)
    amps = MACHINE.current_limit

    assert point.battery_power == pytest.approx(amps * (VOLTAGE - amps * SAG))


def test_level_current_bites_before_the_controller():
    point = run(12.0, np.inf, current_cap=4.0)

    assert point.battery_power == pytest.approx(4.0 * (VOLTAGE - 4.0 * SAG))


def test_voltage_bites_near_the_no_load_speed():
    """Fully open, I = (V − kω)/(R + R_b)."""
    speed = 0.97 * VOLTAGE / MACHINE.constant
    point = run(speed, np.inf)

    assert point.current == pytest.approx(0.03 * VOLTAGE / (MACHINE.resistance + SAG))
    assert point.torque < MACHINE.torque_limit


def test_command_bites_last():
    """With room under every limit the machine gives just what it is asked for."""
    assert run(12.0, 10.0).torque == pytest.approx(10.0)


def test_lower_charge_lowers_the_top():
    """Back-EMF bites earlier on an emptier battery."""
    speed = 0.97 * VOLTAGE / MACHINE.constant

    assert run(speed, np.inf, voltage=0.95 * VOLTAGE).torque < run(speed, np.inf).torque


@given(speed=SPEEDS, command=COMMANDS)
def test_energy_is_split_without_rest(speed, command):
    """battery · η_c = I²R + k I₀ ω + shaft ÷ η_reduction: identity."""
    point = run(speed, command)
    iron = MACHINE.constant * MACHINE.no_load_current * speed * (point.current > 0)
    shaft = point.torque * speed / MACHINE.reduction_efficiency

    assert point.battery_power * MACHINE.controller_efficiency == pytest.approx(
        point.copper_loss + iron + shaft, rel=1e-9, abs=1e-9
    )


@given(speed=SPEEDS, command=COMMANDS, cap=st.floats(0.5, 30.0))
def test_no_limit_is_passed(speed, command, cap):
    """Whatever is asked, every limit holds at once."""
    point = run(speed, command, current_cap=cap)
    amps = min(cap, MACHINE.current_limit)
    open_wide = max(0.0, (VOLTAGE - MACHINE.constant * speed) / (MACHINE.resistance + SAG))

    assert 0.0 <= point.torque <= min(command, MACHINE.torque_limit) * (1 + 1e-9)
    assert point.battery_power <= amps * (VOLTAGE - amps * SAG) * (1 + 1e-9)
    assert point.current <= open_wide * (1 + 1e-9)


@given(speed=SPEEDS, command=COMMANDS)
@example(speed=21.472538927452355, command=1.0)  # where squares differed
def test_scalar_is_array(speed, command):
    """One by one or all at once is the same."""
    commands = np.array([[command], [np.inf], [0.0]])
    together = run(np.array([speed, 3.0]), commands)

    for row, asked in enumerate(commands[:, 0]):
        alone = run(speed, asked)
        for part, whole in zip(alone, together, strict=True):
            assert part == whole[row, 0]


def test_direct_drive_drags_and_geared_hub_does_not():
    """Off, a direct drive turns its iron: k·I₀; a geared hub's freewheel lets go. Common practice, no source."""
    drag = motor.drag_torque(machine=MACHINE, freewheels=np.array([1.0, 0.0]))

    np.testing.assert_allclose(drag, [0.0, MACHINE.constant * MACHINE.no_load_current])


def test_copper_warms():
    """20 → 100 °C raises copper's resistance by 31.4 %: coefficient of IEC 60028, value from memory."""
    assert motor.warm_resistance(0.2, 100.0) / 0.2 == pytest.approx(1.314, abs=0.001)


def test_parameters_from_a_spec_sheet():
    """k from the no-load speed gives that speed back; R from a copper loss costs that loss: identities."""
    k = motor.constant_from_no_load_speed(25.0, VOLTAGE)
    r = motor.resistance_from_copper_loss(120.0, 40.0, constant=k)

    assert k * 25.0 == pytest.approx(VOLTAGE)
    assert (40.0 / k) ** 2 * r == pytest.approx(120.0)
