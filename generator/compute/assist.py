"""The control law: from sensor, level and speed to what the motor is asked for.

One law covers cadence, torque and throttle: the command is the least of everything that the level sets and
everything that the bike caps, tapered before a speed limit. This room holds the law at rest (no delay, no ramp) and
the constants of its timing; `ride.py` plays it in time. All SI; every argument broadcasts.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


class Law(NamedTuple):
    """The law of one assist level of one bike; arrays of one shape or broadcastable. A limit not set is np.inf."""

    speed_limit: Array
    """The lower of the level's limit and the bike's. [m/s]"""
    current_cap: Array
    """Battery current that the level allows. [A]"""
    ratio: Array
    """Motor power over rider power; np.inf for a law that ignores effort. [-]"""
    taper: Array
    """Width of the fade before the speed limit. [m/s]"""


def level_current(*, current: ArrayLike, share: ArrayLike, full_current: ArrayLike) -> Array:
    """Return the battery current that a level allows: the lower of its current and its share of full. [A]

    Parameters
    ----------
    current : float or array
        The level's battery-current limit, np.inf when it sets none. [A]
    share : float or array
        The level's share of full power, 1 when it sets none. [-]
    full_current : float or array
        The controller's battery-current limit. [A]
    """
    full = np.asarray(full_current, dtype=float)
    return np.minimum(np.minimum(current, np.asarray(share) * full), full)


def share_of_full(current: ArrayLike, full_current: ArrayLike) -> Array:
    """Return a current level's share of the motor's power: its current over the controller's. [-]

    Common practice, no source.
    """
    return np.minimum(np.asarray(current, dtype=float) / np.asarray(full_current, dtype=float), 1.0)


def taper_factor(speed: ArrayLike, *, speed_limit: ArrayLike, taper: ArrayLike) -> Array:
    """Return the share of its command that the motor keeps near the speed limit: 1 below, 0 at the limit. [-]

    EN 15194 asks that output falls progressively and is nil at the cut-off speed; a straight line is our choice.
    """
    left = (np.asarray(speed_limit) - np.asarray(speed)) / np.asarray(taper)
    return np.clip(left, 0.0, 1.0)


def mechanical_cap(rider_power: ArrayLike, *, ratio: ArrayLike) -> Array:
    """Return the motor power that the sensor lets through while the crank turns. [W]

    A torque law multiplies the rider's power. A cadence law (ratio np.inf) sees only that the crank turns and lets
    everything through, however softly it is pushed.
    """
    proportional = np.where(np.isinf(ratio), 0.0, ratio) * np.asarray(rider_power, dtype=float)
    return np.where(np.isinf(ratio), np.inf, proportional)


def take_up_angle(start_pulses: ArrayLike, pulses: ArrayLike) -> Array:
    """Return how far the crank turns before a pulse sensor reports pedalling: 2π n/p. [rad]"""
    return 2.0 * np.pi * np.asarray(start_pulses, dtype=float) / np.asarray(pulses, dtype=float)
