"""Gears and wheels: developments, cadence, gear inches, tyre sizes.

Cadence is in crank turns a minute, as riders count it. Everything broadcasts unless it says so.
"""

import numpy as np

from generator.compute.coefficients import Span

BEAD_SEATS = {
    622: ('28"', '29"', "700C"),
    584: ('27.5"', "650B"),
    559: ('26" MTB',),
    507: ('24"',),
    406: ('20"', "BMX"),
    590: ('26" × 1 3/8', "650A"),
    571: ('26" × 1 3/4', "650C"),
}
"""Bead seat diameter in mm, as ETRTO writes it, to the trade's names.  ISO 5775; the names are
common practice, no source. A bare `26"` is not among them: it may be 559, 571 or 590."""

DRIVETRAIN_EFFICIENCY = {
    "derailleur": Span(0.93, 0.97, 0.985),
    "hub gear": Span(0.85, 0.91, 0.95),
    "single speed": Span(0.95, 0.98, 0.99),
}
"""Low, usual and high efficiency from crank to tyre, by shifting. [-]

Derailleur: a clean chain loses 2.1 ± 1.5 % at 100 to 400 W (A. Smit et al., Sports Engineering
2023, doi:10.1007/s12283-023-00439-z), a worn one up to 7 %. Hub gear: 4 to 12 % lost with three
speeds (Wilson, Bicycling Science, second-hand), 5 to 15 % with many (value from memory). Single
speed: chain losses without the derailleur's pulleys (value from memory)."""


def development(chainring, cog, circumference, hub_ratio=1.0):
    """Distance that one turn of the crank carries the bicycle.

    Parameters
    ----------
    chainring, cog : int, float or array
        Teeth. [-]
    circumference : float or array
        Of the driven wheel, rolled out under the rider where that is known. [m]
    hub_ratio : float or array, default 1
        Turns of the wheel for one turn of the sprocket. [-]

    Returns
    -------
    float or array
        [m]
    """
    return np.multiply(circumference, hub_ratio) * np.divide(chainring, cog)


def gear_inches(chainring, cog, diameter_inches, hub_ratio=1.0):
    """Diameter of the directly pedalled wheel that would carry as far.

    Parameters
    ----------
    chainring, cog : int, float or array
        Teeth. [-]
    diameter_inches : float or array
        Of the driven wheel with its tyre. [in]
    hub_ratio : float or array, default 1
        Turns of the wheel for one turn of the sprocket. [-]

    Returns
    -------
    float or array
        [in]
    """
    return np.multiply(diameter_inches, hub_ratio) * np.divide(chainring, cog)


def cadence(speed, development):
    """Cadence at a speed in one gear.

    Parameters
    ----------
    speed : float or array
        [m s⁻¹]
    development : float or array
        [m]

    Returns
    -------
    float or array
        [rpm]
    """
    return 60.0 * np.divide(speed, development)


def speed(cadence, development):
    """Speed at a cadence in one gear.

    Parameters
    ----------
    cadence : float or array
        [rpm]
    development : float or array
        [m]

    Returns
    -------
    float or array
        [m s⁻¹]
    """
    return np.multiply(cadence, development) / 60.0


def developments(*, chainrings, cogs, circumference, hub_ratios=()):
    """Every gear of a bicycle, from the lowest to the highest.

    Parameters
    ----------
    chainrings, cogs : sequence of int
        Teeth; one of each for a hub gear. [-]
    circumference : float
        [m]
    hub_ratios : sequence of float, optional
        Without them the hub drives straight. [-]

    Returns
    -------
    array, shape (gears,)
        Developments without repeats, rising. [m]
    """
    rings = np.asarray(chainrings, dtype=float)[:, None, None]
    sprockets = np.asarray(cogs, dtype=float)[None, :, None]
    ratios = np.asarray(hub_ratios if len(hub_ratios) else (1.0,), dtype=float)[None, None, :]
    every = development(rings, sprockets, circumference, ratios).ravel()
    return np.unique(np.round(every, 9))  # 46/23 and 34/17 are one gear


def total_range(developments):
    """Highest gear over lowest.

    Parameters
    ----------
    developments : array, shape (..., gears)
        [m]

    Returns
    -------
    float or array, shape (...)
        5.0 for what the trade calls 500 %. [-]
    """
    return np.nanmax(developments, axis=-1) / np.nanmin(developments, axis=-1)


def nearest_gear(speed, developments, *, cadence):
    """Index of the gear in which a speed is nearest to the cadence wanted.

    Parameters
    ----------
    speed : float or array, shape (...)
        The lowest gear is taken at rest. [m s⁻¹]
    developments : array, shape (..., gears)
        Rising; nan where a bicycle has fewer gears than others. [m]
    cadence : float or array, shape (...)
        Cadence wanted. [rpm]

    Returns
    -------
    int or array of int, shape (...)

    Notes
    -----
    Nearness is by ratio: 60 and 93.75 rpm are equally far from 75.
    """
    wanted = np.log(60.0 * np.maximum(speed, 1e-6) / cadence)
    distance = np.abs(np.log(developments) - np.asarray(wanted)[..., None])
    return np.argmin(np.where(np.isnan(distance), np.inf, distance), axis=-1)


def spin_out_margin(top_development, *, upper_cadence, assisted_speed):
    """Fastest comfortable pedalling over the speed to which the motor assists.

    Parameters
    ----------
    top_development : float or array
        [m]
    upper_cadence : float or array
        Rider's upper comfortable cadence. [rpm]
    assisted_speed : float or array
        [m s⁻¹]

    Returns
    -------
    float or array
        Below 1 the legs cannot keep up with the motor. [-]
    """
    return speed(upper_cadence, top_development) / assisted_speed


def etrto_circumference(width, bead):
    """Circumference of a tyre from its ETRTO size.

    Parameters
    ----------
    width : float or array
        [m]
    bead : float or array
        Bead seat diameter. [m]

    Returns
    -------
    float or array
        [m]

    Notes
    -----
    Takes the tyre as high as it is wide: within 0.3 % for narrow tyres, up to 1.5 % too long for
    wide ones, which sag. A rollout measured under the rider always wins.

    References
    ----------
    .. [1] ISO 5775-1, Bicycle tyres and rims, for what width and bead seat mean.
    """
    return np.pi * np.add(bead, np.multiply(2.0, width))
