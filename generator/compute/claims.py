"""What makers' claims imply: consumption behind a range, power behind a current, torque for a hill.

Everything broadcasts as a NumPy ufunc would.
"""

import numpy as np

from generator.compute.road import STANDARD_GRAVITY


def implied_consumption(energy, *, distance):
    """Battery energy for each metre that a range claim implies.

    Parameters
    ----------
    energy : float or array
        Of the full battery. [J]
    distance : float or array
        Range claimed. [m]

    Returns
    -------
    float or array
        3.6 J/m is 1 Wh/km. [J m⁻¹]
    """
    return np.divide(energy, distance)


def implied_range(energy, *, consumption):
    """Range that a consumption implies.

    Parameters
    ----------
    energy : float or array
        [J]
    consumption : float or array
        [J m⁻¹]

    Returns
    -------
    float or array
        [m]
    """
    return np.divide(energy, consumption)


def electrical_power(voltage, *, current):
    """Power from the battery at the controller's limit.

    Parameters
    ----------
    voltage : float or array
        [V]
    current : float or array
        [A]

    Returns
    -------
    float or array
        Upper bound of what the motor can give, before its losses. [W]
    """
    return np.multiply(voltage, current)


def claimed_efficiency(power, *, voltage, current):
    """Efficiency that the motor would need for a claimed mechanical power.

    Parameters
    ----------
    power : float or array
        Claimed. [W]
    voltage : float or array
        [V]
    current : float or array
        The controller's limit. [A]

    Returns
    -------
    float or array
        Above 1 the claim cannot be true for long; above about 0.88 it is doubtful. [-]
    """
    return np.divide(power, electrical_power(voltage, current=current))


def energy_gap(energy, *, voltage, charge):
    """How far a stated energy is from nominal voltage times charge.

    Parameters
    ----------
    energy : float or array
        Stated. [J]
    voltage : float or array
        Nominal. [V]
    charge : float or array
        [C]

    Returns
    -------
    float or array
        0.03 when 3 % more is stated than the product gives. [-]
    """
    return np.divide(energy, np.multiply(voltage, charge)) - 1.0


def wheel_torque(grade, *, mass, crr, wheel_radius, gravity=STANDARD_GRAVITY):
    """Torque at the driven wheel that holds a bicycle moving slowly up a grade.

    Parameters
    ----------
    grade : float or array
        Rise over run. [-]
    mass : float or array
        Rider, bicycle and load. [kg]
    crr : float or array
        [-]
    wheel_radius : float or array
        [m]
    gravity : float or array, optional
        [m s⁻²]

    Returns
    -------
    float or array
        Rider and motor together; air is left out. [N m]
    """
    slope = np.arctan(grade)
    return np.multiply(mass, gravity) * (np.sin(slope) + crr * np.cos(slope)) * wheel_radius
