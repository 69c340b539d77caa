"""The rider: torque within a crank turn, cadence, and how long a power can be kept.

Cadence is in crank turns a minute. Everything broadcasts as a NumPy ufunc would.
"""

import numpy as np

COMFORTABLE_CADENCE = (50.0, 90.0)
"""[rpm]  Common practice, no source."""

GRINDING_CADENCE = 45.0
"""Cadence below which the legs grind. [rpm]  Common practice, no source."""

FLAT_OUT_CADENCE = 110.0
"""Cadence at which untrained legs spin out, up to 120. [rpm]  Common practice, no source."""

ALL_DAY_POWER = 75.0
"""Power of an ordinary adult all day. [W]  D. R. Malewicki, International Human Powered Vehicle
Scientific Symposium 1983."""

ONE_HOUR_POWER = (50.0, 100.0, 150.0)
"""Low, usual and high power over an hour for good average fitness. [W]  Values from memory."""

ENDURANCE_EXPONENT = -0.07
"""Exponent of sustainable power in duration. [-]

The form is that of P. S. Riegel, "Athletic records and human endurance," American Scientist,
vol. 69, pp. 285-290, 1981. Exponent from memory; published ones lie between −0.05 and −0.10."""

RIPPLE_TORQUES = (12.7, 38.2, 109.8)
"""Mean crank torques of the rows in `RIPPLES`: 100 and 300 W at 75 rpm, 575 W at 50 rpm. [N m]"""

RIPPLES = (0.70, 0.79, 0.82)
"""Ripple of the crank torque at `RIPPLE_TORQUES`. [-]

Our cosine through the extremes in table 1 of a hub maker's paper on measuring the efficiency of
bicycle transmissions: 3.8 and 21.6, 8 and 68, 20 and 200 N m. Halfway between them lies the mean
torque of each row, as the cosine wants it."""

LEAST_EFFORT_POWERS = (100.0, 200.0, 300.0, 400.0)
"""Powers of the rows in `LEAST_EFFORT_CADENCES`. [W]"""

LEAST_EFFORT_CADENCES = (57.0, 70.0, 86.0, 99.0)
"""Cadence with the least muscle activation at `LEAST_EFFORT_POWERS`. [rpm]

B. R. MacIntosh, R. R. Neptune and J. F. Horton, "Cadence, power, and muscle activation in cycle
ergometry," Med. Sci. Sports Exerc., vol. 32, pp. 1281-1287, 2000."""


def mean_crank_torque(power, *, cadence):
    """Torque at the crank, averaged over a turn.

    Parameters
    ----------
    power : float or array
        [W]
    cadence : float or array
        Above 0. [rpm]

    Returns
    -------
    float or array
        [N m]
    """
    return np.divide(power, np.multiply(cadence, 2.0 * np.pi / 60.0))


def ripple(power, *, cadence):
    """Swing of the crank torque about its mean, over that mean.

    Parameters
    ----------
    power : float or array
        [W]
    cadence : float or array
        Above 0. [rpm]

    Returns
    -------
    float or array
        0 for an even push, 1 for one that falls to nothing twice a turn. [-]

    Notes
    -----
    Straight between the published rows by mean torque, held at their ends.
    """
    return np.interp(mean_crank_torque(power, cadence=cadence), RIPPLE_TORQUES, RIPPLES)


def crank_torque(angle, *, mean_torque, ripple):
    """Torque at the crank at one angle of its turn.

    Parameters
    ----------
    angle : float or array, shape (...)
        From a crank standing upright. [rad]
    mean_torque : float or array
        [N m]
    ripple : float or array
        See `ripple`. [-]

    Returns
    -------
    float or array, shape (...)
        [N m]

    Notes
    -----
    T̄ (1 − a cos 2θ): both legs alike, weakest with the cranks upright.
    """
    return mean_torque * (1.0 - ripple * np.cos(np.multiply(2.0, angle)))


def moving_mean(angle, *, span, mean_torque, ripple):
    """Crank torque averaged over the last part of a turn, as a torque sensor's filter sees it.

    Parameters
    ----------
    angle : float or array, shape (...)
        At the end of the part. [rad]
    span : float or array
        Angle averaged over, above 0. [rad]
    mean_torque : float or array
        [N m]
    ripple : float or array
        [-]

    Returns
    -------
    float or array, shape (...)
        Ripples with any span but whole half turns. [N m]
    """
    swing = (np.sin(np.multiply(2.0, angle)) - np.sin(2.0 * np.subtract(angle, span))) / (
        2.0 * np.asarray(span)
    )
    return mean_torque * (1.0 - ripple * swing)


def half_turn_mean(angle, *, mean_torque, ripple):
    """Crank torque averaged over the last half turn, which is its mean wherever the crank stands.

    Parameters
    ----------
    angle : float or array, shape (...)
        At the end of the half turn. [rad]
    mean_torque : float or array
        [N m]
    ripple : float or array
        [-]

    Returns
    -------
    float or array, shape (...)
        [N m]
    """
    return moving_mean(angle, span=np.pi, mean_torque=mean_torque, ripple=ripple)


def least_effort_cadence(power):
    """Cadence at which a power needs the least muscle activation.

    Parameters
    ----------
    power : float or array
        [W]

    Returns
    -------
    float or array
        [rpm]

    Notes
    -----
    Straight between published rows from 100 to 400 W, held at their ends. Trained riders; most
    people choose to turn faster.

    References
    ----------
    .. [1] MacIntosh et al. 2000, as in `LEAST_EFFORT_CADENCES`.
    """
    return np.interp(power, LEAST_EFFORT_POWERS, LEAST_EFFORT_CADENCES)


def sustainable_power(duration, *, one_hour_power):
    """Power that a rider who can keep `one_hour_power` for an hour keeps for another time.

    Parameters
    ----------
    duration : float or array
        Above 0. [s]
    one_hour_power : float or array
        [W]

    Returns
    -------
    float or array
        [W]

    Notes
    -----
    A power law, valid from about ten minutes to five hours.

    References
    ----------
    .. [1] Riegel 1981, as in `ENDURANCE_EXPONENT`.
    """
    return one_hour_power * np.power(np.divide(duration, 3600.0), ENDURANCE_EXPONENT)


def power_at_cadence(power, cadence, *, upper, flat_out):
    """Power that the legs still give at a cadence.

    Parameters
    ----------
    power : float or array, shape (...)
        Given at comfortable cadences. [W]
    cadence : float or array, shape (...)
        [rpm]
    upper : float or array
        Upper comfortable cadence: full power up to here. [rpm]
    flat_out : float or array
        Nothing left from here on; above `upper`. [rpm]

    Returns
    -------
    float or array, shape (...)
        [W]

    Notes
    -----
    The smooth fall between the two, 1 − 3s² + 2s³, is a modelling choice of ours. It says that
    legs cannot keep up, not how tiring it is.
    """
    s = np.clip(np.subtract(cadence, upper) / np.subtract(flat_out, upper), 0.0, 1.0)
    return power * (1.0 - s * s * (3.0 - 2.0 * s))
