"""The battery: voltage, usable energy in cold and age, charging.

Everything broadcasts as a NumPy ufunc would. Energy is in joules: 1 Wh is 3600 J.
"""

import numpy as np

from generator.compute.coefficients import Span

STATES_OF_CHARGE = (0.002, 0.10, 0.30, 0.50, 0.70, 0.90, 1.00)
"""Rows of `CELL_VOLTAGES`. [-]"""

CELL_VOLTAGES = (2.535, 3.268, 3.559, 3.753, 3.923, 4.091, 4.175)
"""Open-circuit voltage of one NMC cell at `STATES_OF_CHARGE`. [V]

Measured on an 18650 cell. The functions of C.-H. Chen et al., J. Electrochem. Soc., vol. 167,
080534, 2020, agree within 50 mV."""

NOMINAL_CELL_VOLTAGE = 3.6
"""[V]  Common practice, no source."""

FULL_CELL_VOLTAGE = 4.2
"""Voltage at which the charger stops. [V]  Common practice, no source."""

TEMPERATURES = (-20.0, -10.0, 0.0, 10.0, 20.0)
"""Rows of `CAPACITY_LOW` and `CAPACITY_HIGH`. [°C]"""

CAPACITY_LOW = (0.66, 0.78, 0.88, 0.95, 1.0)
CAPACITY_HIGH = (0.76, 0.85, 0.93, 0.97, 1.0)
"""Capacity in the cold over capacity at 20 °C. [-]  Values from memory; −20 °C is our
continuation of them."""

USABLE_FRACTION = Span(0.85, 0.90, 0.95)
"""Share of the stated energy that the bike gives before it switches off. [-]  From memory."""

CELL_RESISTANCE = Span(0.030, 0.045, 0.060)
"""Of one energy cell; a power cell has 0.015 to 0.025. [Ω]  From memory."""

CYCLES_TO_80_PERCENT = 1000.0
"""Full cycles after which four fifths of the capacity are left. [-]  Common practice, no source."""

CHARGER_EFFICIENCY = Span(0.80, 0.87, 0.92)
"""Energy into the battery over energy from the wall. [-]  From memory."""

TAPER_START = 0.90
"""State of charge from which the charger's current falls. [-]  Our estimate for the low charging
rates of bicycle chargers."""

TAPER_END = 0.10
"""Current at full charge over the charger's current. [-]  Common practice, no source."""


def cells_in_series(nominal_voltage):
    """Number of cells in series behind a nominal voltage.

    Parameters
    ----------
    nominal_voltage : float or array
        As on the label, 36 or 48. [V]

    Returns
    -------
    float or array
        Whole numbers: 10 for 36 V, 13 for 48 V, 14 for 52 V. [-]

    Notes
    -----
    For NMC and its relatives, 3.6 V a cell; not for LFP, which has 3.2 V. Common practice, no
    source.
    """
    return np.rint(np.divide(nominal_voltage, NOMINAL_CELL_VOLTAGE))


def open_circuit_voltage(state_of_charge, *, cells_in_series):
    """Voltage of a resting battery.

    Parameters
    ----------
    state_of_charge : float or array
        0 to 1. [-]
    cells_in_series : float or array
        [-]

    Returns
    -------
    float or array
        [V]

    Notes
    -----
    NMC cells; straight between measured rows, held at their ends.

    References
    ----------
    .. [1] Rows as in `CELL_VOLTAGES`.
    """
    return cells_in_series * np.interp(state_of_charge, STATES_OF_CHARGE, CELL_VOLTAGES)


def terminal_voltage(open_circuit, *, power, resistance):
    """Voltage of a battery that gives a power.

    Parameters
    ----------
    open_circuit : float or array
        [V]
    power : float or array
        Negative while charging. [W]
    resistance : float or array
        Of the whole battery, above 0. [Ω]

    Returns
    -------
    float or array
        [V]

    Notes
    -----
    The upper root of V² − E V + P R = 0. A battery cannot give more than `greatest_power`; asked
    for more, this returns the voltage there, E/2.
    """
    half = np.multiply(open_circuit, 0.5)
    return half + np.sqrt(np.maximum(np.square(half) - np.multiply(power, resistance), 0.0))


def greatest_power(open_circuit, *, resistance):
    """Power that a battery cannot exceed, E²/(4 R), far above what its electronics allow.

    Parameters
    ----------
    open_circuit : float or array
        [V]
    resistance : float or array
        [Ω]

    Returns
    -------
    float or array
        [W]
    """
    return np.square(open_circuit) / np.multiply(4.0, resistance)


def capacity_factor(temperature, *, quantile=0.5):
    """Capacity at a temperature over capacity at 20 °C.

    Parameters
    ----------
    temperature : float or array
        Of the battery. [°C]
    quantile : float or array, default 0.5
        Place between the low (0) and the high (1) rows. [-]

    Returns
    -------
    float or array
        Never falls with warmth. [-]

    Notes
    -----
    Straight between rows, held at −20 and 20 °C. Charge only between 0 and 40 °C.
    """
    low = np.interp(temperature, TEMPERATURES, CAPACITY_LOW)
    high = np.interp(temperature, TEMPERATURES, CAPACITY_HIGH)
    return low + quantile * (high - low)


def age_factor(cycles):
    """Capacity after a number of full cycles over capacity when new.

    Parameters
    ----------
    cycles : float or array
        Full cycles: two halves count as one. [-]

    Returns
    -------
    float or array
        Falls evenly to 0.8 at 1000 cycles, never below 0. [-]
    """
    return np.maximum(1.0 - 0.2 * np.divide(cycles, CYCLES_TO_80_PERCENT), 0.0)


def usable_energy(energy, *, usable_fraction, capacity_factor=1.0, age_factor=1.0):
    """Energy that a full battery gives the bike.

    Parameters
    ----------
    energy : float or array
        As stated. [J]
    usable_fraction : float or array
        See `USABLE_FRACTION`. [-]
    capacity_factor, age_factor : float or array, default 1
        [-]

    Returns
    -------
    float or array
        [J]
    """
    return energy * usable_fraction * capacity_factor * age_factor


def charge_rate(charger_current, *, charge):
    """Charging current as a share of the capacity, the C-rate.

    Parameters
    ----------
    charger_current : float or array
        [A]
    charge : float or array
        Capacity of the battery: 14 Ah is 50 400 C. [C]

    Returns
    -------
    float or array
        0.25 fills the battery in four hours if nothing tapers. [h⁻¹]
    """
    return 3600.0 * np.divide(charger_current, charge)


def charging_time(charge, *, charger_current, state_from, state_to):
    """Time to charge: full current first, then a falling one.

    Parameters
    ----------
    charge : float or array
        Capacity of the battery: 14 Ah is 50 400 C. [C]
    charger_current : float or array
        [A]
    state_from, state_to : float or array
        States of charge, 0 to 1. [-]

    Returns
    -------
    float or array
        0 where `state_to` is not above `state_from`. [s]

    Notes
    -----
    From a state of 0.9 on, the current falls evenly with the state to a tenth at full charge, so
    in time it falls exponentially.
    """
    full_time = np.divide(charge, charger_current)
    elapsed = _time_share(state_to) - _time_share(state_from)
    return full_time * np.maximum(elapsed, 0.0)


def _time_share(state):
    """Time from empty to a state, over charge divided by full current. [-]"""
    state = np.clip(state, 0.0, 1.0)
    late = np.maximum(state - TAPER_START, 0.0) / (1.0 - TAPER_START)
    current = 1.0 - (1.0 - TAPER_END) * late
    taper = (1.0 - TAPER_START) / (1.0 - TAPER_END) * np.log(1.0 / current)
    return np.minimum(state, TAPER_START) + taper


def wall_energy(energy, *, charger_efficiency):
    """Energy drawn from the wall to put an energy into the battery.

    Parameters
    ----------
    energy : float or array
        Into the battery. [J]
    charger_efficiency : float or array
        See `CHARGER_EFFICIENCY`. [-]

    Returns
    -------
    float or array
        [J]
    """
    return np.divide(energy, charger_efficiency)


def cost(wall_energy, *, price):
    """Cost of an energy from the wall.

    Parameters
    ----------
    wall_energy : float or array
        [J]
    price : float or array
        Of a kilowatt-hour, in any currency.

    Returns
    -------
    float or array
        In the currency of `price`.
    """
    return np.divide(wall_energy, 3.6e6) * price
