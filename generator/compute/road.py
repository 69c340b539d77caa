"""Road load: what air, tyres and hills ask of a bicycle.

Every function broadcasts as a NumPy ufunc would. Cornering, bumps and braking are left out.
The coefficients of tyres and riders live in `coefficients` and can be had from here too.
"""

from typing import NamedTuple

import numpy as np

from generator.compute.coefficients import (
    CDA,
    CRR,
    REFERENCE_PRESSURE,
    SURFACE,
    Span,
    crr,
    drag_area,
    rolling_coefficient,
)

__all__ = [
    "CDA",
    "CRR",
    "MARTIN",
    "REFERENCE_PRESSURE",
    "STANDARD_GRAVITY",
    "SURFACE",
    "WHEEL_INERTIA",
    "Components",
    "Span",
    "bearing_drag",
    "components",
    "crr",
    "drag_area",
    "effective_mass",
    "power",
    "resistance",
    "rolling_coefficient",
    "steady_grade",
]

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of gravity. [m s⁻²]  Exact by definition, 3rd CGPM (1901)."""

WHEEL_INERTIA = 0.14
"""Moment of inertia of both wheels of a road bicycle. [kg m²]  Martin et al. 1998."""

MARTIN = """J. C. Martin, D. L. Milliken, J. E. Cobb, K. L. McFadden and A. R. Coggan, "Validation \
of a mathematical model for road cycling power," J. Appl. Biomech., vol. 14, no. 3, \
pp. 276-291, 1998. doi:10.1123/jab.14.3.276"""
"""Citation of the road load's source."""


class Components(NamedTuple):
    """Parts of the resistance, each positive when it slows the rider. [N]"""

    aero: np.ndarray
    rolling: np.ndarray
    climbing: np.ndarray


def components(
    speed, *, grade, mass, crr, cda, air_density, headwind=0.0, gravity=STANDARD_GRAVITY
):
    """Resistance split into air, tyres and hill.

    Parameters
    ----------
    speed : float or array, shape (...)
        Speed over the ground, positive forwards. [m s⁻¹]
    grade : float or array
        Rise over run: 0.05 for a 5 % climb, negative downhill. [-]
    mass : float or array
        Rider, bicycle and load together. [kg]
    crr : float or array
        Coefficient of rolling resistance. [-]
    cda : float or array
        Drag area: drag coefficient times frontal area. [m²]
    air_density : float or array
        See `air.density`. [kg m⁻³]
    headwind : float or array, default 0
        Wind along the road at the rider's height, positive against the rider. [m s⁻¹]
    gravity : float or array, optional
        [m s⁻²]

    Returns
    -------
    Components
        Each of shape (...). [N]

    Notes
    -----
    The slope is exact: the sine of the angle, never the grade in its place (2 % wrong at 20 %).
    A tailwind faster than the bicycle pushes. At rest the tyres count with their full
    resistance, which is what a start has to overcome.

    References
    ----------
    .. [1] J. C. Martin, D. L. Milliken, J. E. Cobb, K. L. McFadden and A. R. Coggan, "Validation
       of a mathematical model for road cycling power," J. Appl. Biomech., vol. 14, no. 3,
       pp. 276-291, 1998.
    """
    slope = np.arctan(grade)
    weight = np.multiply(mass, gravity)
    return Components(
        aero=_aero_drag(speed, cda=cda, air_density=air_density, headwind=headwind),
        rolling=_travel_direction(speed) * crr * weight * np.cos(slope),
        climbing=weight * np.sin(slope),
    )


def resistance(
    speed, *, grade, mass, crr, cda, air_density, headwind=0.0, gravity=STANDARD_GRAVITY
):
    """Total force against the motion, at the tyre.

    Parameters
    ----------
    speed, grade, mass, crr, cda, air_density, headwind, gravity
        As in `components`.

    Returns
    -------
    float or array, shape (...)
        Positive when it slows the rider, negative when it pushes. [N]

    Notes
    -----
    Against measured climbs such a model is biased by −0.95 % (95 % interval −10.4 to +8.5 %),
    so a power predicted with it is never better than ±6 %. [1]_

    References
    ----------
    .. [1] G. P. Millet, C. Tronche and F. Grappe, "Accuracy of indirect estimation of power
       output from uphill performance in cycling," Int. J. Sports Physiol. Perform., vol. 9,
       pp. 777-782, 2014.
    """
    aero, rolling, climbing = components(
        speed,
        grade=grade,
        mass=mass,
        crr=crr,
        cda=cda,
        air_density=air_density,
        headwind=headwind,
        gravity=gravity,
    )
    return aero + rolling + climbing


def power(
    speed,
    *,
    grade,
    mass,
    crr,
    cda,
    air_density,
    headwind=0.0,
    efficiency=1.0,
    gravity=STANDARD_GRAVITY,
):
    """Power at the pedals that holds a speed.

    Parameters
    ----------
    speed, grade, mass, crr, cda, air_density, headwind, gravity
        As in `components`.
    efficiency : float or array, default 1
        Of the drivetrain from pedals to tyre; taken as 1 when above it. [-]

    Returns
    -------
    float or array, shape (...)
        Negative where the road pushes harder than the air and the tyres hold: then the rider
        must brake or go faster. [W]
    """
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
    return force * speed / np.minimum(efficiency, 1.0)


def steady_grade(
    speed, force, *, mass, crr, cda, air_density, headwind=0.0, gravity=STANDARD_GRAVITY
):
    """Grade on which a force at the tyre just holds a speed: `resistance`, solved for the grade.

    Parameters
    ----------
    speed : float or array, shape (...)
        [m s⁻¹]
    force : float or array
        Driving force at the tyre. [N]
    mass, crr, cda, air_density, headwind, gravity
        As in `components`.

    Returns
    -------
    float or array, shape (...)
        Rise over run; nan where no road between straight down and straight up does it. [-]

    Notes
    -----
    With c = Crr and s = (F − aero)/(m g), sin θ + c cos θ = s has the solution
    θ = arcsin(s/√(1 + c²)) − arctan c, which is exact.
    """
    aero = _aero_drag(speed, cda=cda, air_density=air_density, headwind=headwind)
    share = (force - aero) / np.multiply(mass, gravity)
    c = _travel_direction(speed) * crr
    sine = share / np.sqrt(1.0 + c**2)
    possible = (np.abs(sine) <= 1.0) & (share > -1.0)
    slope = np.arcsin(np.where(possible, sine, np.nan)) - np.arctan(c)
    return np.tan(slope)


def bearing_drag(speed):
    """Drag of the wheel bearings of a road bicycle.

    Parameters
    ----------
    speed : float or array
        [m s⁻¹]

    Returns
    -------
    float or array
        [N]

    Notes
    -----
    Not part of `resistance`: about 0.2 N, inside the spread of the tyres. Added where the model
    is checked against the paper.

    References
    ----------
    .. [1] Martin et al. 1998, as in `components`.
    """
    return 0.091 + 0.0087 * np.asarray(speed, dtype=float)


def effective_mass(mass, *, inertia, wheel_radius):
    """Mass that has to be accelerated, turning wheels included.

    Parameters
    ----------
    mass : float or array
        [kg]
    inertia : float or array
        Moment of inertia of both wheels, and of a motor that turns with them. [kg m²]
    wheel_radius : float or array
        [m]

    Returns
    -------
    float or array
        [kg]
    """
    return mass + inertia / np.square(wheel_radius)


def _aero_drag(speed, *, cda, air_density, headwind):
    airspeed = np.add(speed, headwind)
    return 0.5 * air_density * cda * airspeed * np.abs(airspeed)  # keeps a tailwind's sign


def _travel_direction(speed):
    return np.where(np.less(speed, 0.0), -1.0, 1.0)
