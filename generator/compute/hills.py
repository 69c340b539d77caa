"""Hills: steady speed and steepest grade by power, wheels that lift or slip, motors that heat up.

Everything broadcasts as a NumPy ufunc would. Grades are rise over run.
"""

import numpy as np

from generator.compute.road import STANDARD_GRAVITY, resistance, steady_grade

DRIVEN = {"rear hub": "rear", "mid": "rear", "front hub": "front", "rear": "rear", "front": "front"}
"""Wheel that the motor drives, by the motor's place or by its own name."""


def lift_grade(b, h):
    """Grade on which the front wheel leaves the ground.

    Parameters
    ----------
    b : float or array
        From the rear tyre's contact forward to the centre of gravity, along the road. [m]
    h : float or array
        Height of the centre of gravity above the road. [m]

    Returns
    -------
    float or array
        tan θ = b/h: there the weight points through the rear contact. [-]

    Notes
    -----
    Steady riding; a jerk on the pedals or the motor lifts the wheel earlier.
    """
    return np.divide(b, h)


def slip_grade(place, *, mu, a, b, h, wheelbase):
    """Grade on which the driven wheel slips.

    Parameters
    ----------
    place : str
        `rear hub`, `mid` or `front hub`; or the driven wheel itself, `rear` or `front`.
    mu : float or array
        Coefficient of friction between tyre and road. [-]
    a, b : float or array
        From the front and the rear contact to the centre of gravity, along the road. [m]
    h : float or array
        Height of the centre of gravity. [m]
    wheelbase : float or array
        a + b. [m]

    Returns
    -------
    float or array
        inf where the rear wheel cannot slip because the front lifts first. [-]

    Notes
    -----
    The driven wheel alone holds the bicycle on the slope: rear μa/(L − μh), front μb/(L + μh).
    With a front hub motor the rider's own push goes to the other wheel, so this is then the
    limit of the motor's share when it does all the work.
    """
    if DRIVEN[place] == "front":
        return np.multiply(mu, b) / (wheelbase + np.multiply(mu, h))
    left = wheelbase - np.multiply(mu, h)
    holds = left <= 0.0
    return np.where(holds, np.inf, np.multiply(mu, a) / np.where(holds, 1.0, left))


def grade_by_power(
    speed, power, *, mass, crr, cda, air_density, headwind=0.0, gravity=STANDARD_GRAVITY
):
    """Steepest grade on which a power at the tyre holds a speed.

    Parameters
    ----------
    speed : float or array, shape (...)
        Above 0. [m s⁻¹]
    power : float or array
        At the tyre. [W]
    mass, crr, cda, air_density, headwind, gravity
        As in `road.resistance`.

    Returns
    -------
    float or array, shape (...)
        nan where the power would lift the bicycle straight up. [-]
    """
    return steady_grade(
        speed,
        np.divide(power, speed),
        mass=mass,
        crr=crr,
        cda=cda,
        air_density=air_density,
        headwind=headwind,
        gravity=gravity,
    )


def steady_speed(
    power,
    *,
    grade,
    mass,
    crr,
    cda,
    air_density,
    headwind=0.0,
    gravity=STANDARD_GRAVITY,
):
    """Speed that a power at the tyre holds: `road.power`, solved for the speed.

    Parameters
    ----------
    power : float or array
        Power at the tyre, above 0. [W]
    grade, mass, crr, cda, air_density, headwind, gravity
        As in `road.components`.

    Returns
    -------
    float or array
        Up to 100. [m s⁻¹]

    Notes
    -----
    Resistance grows with speed, so a positive power has exactly one steady speed; it is found
    by halving an interval 60 times.
    """
    power, grade = np.asarray(power, dtype=float), np.asarray(grade, dtype=float)
    shape = np.broadcast(power, grade, mass, crr, cda, air_density, headwind, gravity).shape
    slow, fast = np.zeros(shape), np.full(shape, 100.0)
    for _ in range(60):
        speed = 0.5 * (slow + fast)
        force = resistance(
            speed,
            grade=grade,
            mass=mass,
            crr=crr,
            cda=cda,
            air_density=air_density,
            headwind=headwind,
            gravity=gravity,
        )
        enough = force * speed <= power
        slow, fast = np.where(enough, speed, slow), np.where(enough, fast, speed)
    return 0.5 * (slow + fast)


def temperature_rise(time, *, loss_power, thermal_resistance, time_constant):
    """Warming of a motor above its surroundings under a steady loss, from cold.

    Parameters
    ----------
    time : float or array
        [s]
    loss_power : float or array
        Electrical power in less mechanical power out. [W]
    thermal_resistance : float or array
        From winding to air: 0.5 to 1.5, value from memory. [K W⁻¹]
    time_constant : float or array
        900 to 2400 for a hub, value from memory. [s]

    Returns
    -------
    float or array
        [K]

    Notes
    -----
    One lump of metal that loses heat in proportion to its rise: P R (1 − exp(−t/τ)).
    """
    return loss_power * thermal_resistance * -np.expm1(-np.divide(time, time_constant))


def minutes_to_limit(loss_power, *, thermal_resistance, time_constant, ambient, limit):
    """Time until a cold motor under a steady loss reaches the temperature at which it gives up.

    Parameters
    ----------
    loss_power : float or array
        [W]
    thermal_resistance : float or array
        [K W⁻¹]
    time_constant : float or array
        [s]
    ambient, limit : float or array
        Temperatures of the air and of the windings at rollback. [°C]

    Returns
    -------
    float or array
        inf where it never gets there, 0 where it starts there. [min]

    Notes
    -----
    `temperature_rise`, solved for the time. Constants of a motor are rarely published: show the
    result with a wide interval.
    """
    room = np.maximum(np.subtract(limit, ambient), 0.0)
    final = np.multiply(loss_power, thermal_resistance)
    reached = final > room
    share = np.where(reached, room / np.where(reached, final, 1.0), 0.0)
    minutes = -np.multiply(time_constant, np.log1p(-share)) / 60.0
    return np.where(reached | (room == 0.0), minutes, np.inf)
