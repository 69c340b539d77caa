"""The battery: voltage, cold, age, charging."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from generator.compute import battery

STATES = st.floats(0, 1)


def chen_2020(state):
    """Open-circuit voltage of the cell of Chen et al., J. Electrochem. Soc. 167, 080534, 2020.

    Functions and the range of both electrodes from memory.
    """
    x = 0.0279 + state * (0.9014 - 0.0279)
    y = 0.9077 - state * (0.9077 - 0.2661)
    positive = (
        -0.8090 * y
        + 4.4875
        - 0.0428 * np.tanh(18.5138 * (y - 0.5542))
        - 17.7326 * np.tanh(15.7890 * (y - 0.3117))
        + 17.5842 * np.tanh(15.9308 * (y - 0.3120))
    )
    negative = (
        1.9793 * np.exp(-39.3631 * x)
        + 0.2482
        - 0.0909 * np.tanh(29.8538 * (x - 0.1234))
        - 0.04478 * np.tanh(14.9159 * (x - 0.2769))
        - 0.0205 * np.tanh(30.4444 * (x - 0.6103))
    )
    return positive - negative


@pytest.mark.parametrize("state", [0.10, 0.30, 0.50, 0.70, 0.90, 1.00])
def test_another_cell_has_nearly_the_same_voltage(state):
    """Another published NMC cell agrees within 50 mV at every row but the empty one."""
    ours = battery.open_circuit_voltage(state, cells_in_series=1)

    assert ours == pytest.approx(chen_2020(state), abs=0.050)


@pytest.mark.parametrize(("label", "full"), [(36, 42.0), (48, 54.6), (52, 58.8)])
def test_full_voltage_by_label(label, full):
    """The charger stops at a voltage known by the label's. Common practice, no source."""
    cells = battery.cells_in_series(label)

    assert cells * battery.FULL_CELL_VOLTAGE == pytest.approx(full)


@pytest.mark.parametrize(
    ("celsius", "low", "high"), [(10, 0.95, 0.97), (0, 0.88, 0.93), (-10, 0.78, 0.85), (20, 1, 1)]
)
def test_cold_takes_capacity(celsius, low, high):
    """The published spread of capacity in the cold. Values from memory."""
    assert battery.capacity_factor(celsius, quantile=0.0) == pytest.approx(low)
    assert battery.capacity_factor(celsius, quantile=1.0) == pytest.approx(high)
    assert low <= battery.capacity_factor(celsius) <= high


@given(cold=st.floats(-40, 45), warm=st.floats(-40, 45), quantile=st.floats(0, 1))
def test_capacity_never_falls_with_warmth(cold, warm, quantile):
    """Warmer never means less capacity."""
    cold, warm = sorted((cold, warm))

    less = battery.capacity_factor(cold, quantile=quantile)
    assert battery.capacity_factor(warm, quantile=quantile) >= less - 1e-12


@given(low=STATES, high=STATES)
def test_voltage_never_falls_with_charge(low, high):
    """A fuller battery never has a lower voltage."""
    low, high = sorted((low, high))

    found = battery.open_circuit_voltage(np.array([low, high]), cells_in_series=13)
    assert found[1] >= found[0]


def test_age_by_the_trade():
    """About 1000 full cycles to 80 %. Common practice, no source."""
    np.testing.assert_allclose(battery.age_factor([0, 500, 1000, 9000]), [1, 0.9, 0.8, 0])


@given(
    volts=st.floats(20, 60),
    ohms=st.floats(0.02, 0.5),
    share=st.floats(-0.5, 1.0),
)
def test_terminal_voltage_gives_the_power(volts, ohms, share):
    """Voltage times current is the power asked for, up to the greatest there is."""
    power = share * battery.greatest_power(volts, resistance=ohms)

    found = battery.terminal_voltage(volts, power=power, resistance=ohms)
    current = (volts - found) / ohms
    assert found * current == pytest.approx(power, rel=1e-6, abs=1e-6)
    assert found >= volts / 2 - 1e-9


def test_more_than_the_greatest_power():
    """Asked for more than it can give, the battery stays at half its voltage."""
    assert battery.terminal_voltage(40.0, power=1e6, resistance=0.2) == pytest.approx(20.0)


def test_full_current_is_charge_over_current():
    """Below the taper, 7 Ah into 14 Ah at 4 A take an hour and three quarters: arithmetic."""
    found = battery.charging_time(14 * 3600, charger_current=4.0, state_from=0.2, state_to=0.7)

    assert found == pytest.approx(1.75 * 3600)


@given(state_from=STATES, state_to=STATES)
def test_charging_time_is_the_integral(state_from, state_to):
    """The closed form is what integrating charge over the stated current gives."""
    state_from, state_to = sorted((state_from, state_to))

    def slowness(state):
        late = max(state - battery.TAPER_START, 0.0) / (1 - battery.TAPER_START)
        return 1 / (1 - (1 - battery.TAPER_END) * late)

    area, _ = quad(slowness, state_from, state_to, points=[battery.TAPER_START])
    found = battery.charging_time(
        36000.0, charger_current=2.0, state_from=state_from, state_to=state_to
    )
    assert found == pytest.approx(18000.0 * area, rel=1e-6, abs=1e-3)


def test_nothing_to_charge():
    """A battery that is fuller than asked takes no time, not a negative one."""
    assert battery.charging_time(36000.0, charger_current=2.0, state_from=0.9, state_to=0.5) == 0.0


def test_energy_at_the_wall_and_its_price():
    """500 Wh through a charger of 80 % take 625 Wh; at 0.40 a kilowatt-hour, 0.25: arithmetic."""
    wall = battery.wall_energy(500 * 3600, charger_efficiency=0.8)

    assert wall == pytest.approx(625 * 3600)
    assert battery.cost(wall, price=0.40) == pytest.approx(0.25)


def test_usable_energy_multiplies():
    """Every factor takes its part: 500 Wh × 0.9 × 0.9 × 0.8, arithmetic."""
    found = battery.usable_energy(
        500 * 3600, usable_fraction=0.9, capacity_factor=0.9, age_factor=0.8
    )

    assert found == pytest.approx(324 * 3600)


def test_charge_rate():
    """4 A into 16 Ah is a quarter of the capacity an hour: arithmetic."""
    assert battery.charge_rate(4.0, charge=16 * 3600) == pytest.approx(0.25)
