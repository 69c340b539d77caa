"""Coefficients of the road load: tyres on surfaces, and riders in the wind.

The tables hold a usual value between a low and a high one; the functions adjust it for pressure,
warmth and the rider's size. Used through `road`.
"""

from typing import NamedTuple

import numpy as np


class Span(NamedTuple):
    """A usual value with the interval it lies in."""

    low: float
    default: float
    high: float


CRR = {
    "slick": Span(0.003, 0.004, 0.006),
    "city": Span(0.005, 0.0065, 0.008),
    "knobbly": Span(0.008, 0.010, 0.012),
}
"""Rolling resistance on smooth asphalt, by tread, at 20 °C and `REFERENCE_PRESSURE`. [-]

Slick: engineering tables give 0.004 on asphalt, 0.002 on concrete. City and knobbly: values from
memory."""

SURFACE = {
    "smooth": Span(1.0, 1.0, 1.1),
    "rough": Span(1.2, 1.5, 2.0),
    "gravel": Span(2.0, 2.5, 3.5),
}
"""Factor on the rolling resistance, by surface. [-]

Rough: bounded by the engineering tables' 0.008 on rough asphalt over their 0.004. Gravel: values
from memory, 0.012 to 0.03 over a city tyre's 0.0065."""

REFERENCE_PRESSURE = {"slick": 600e3, "city": 350e3, "knobbly": 200e3}
"""Inflation above the surrounding air for which `CRR` holds, by tread. [Pa]  Common practice, no
source."""

REFERENCE_TEMPERATURE = 20.0
"""Temperature for which `CRR` holds. [°C]"""

PRESSURE_EXPONENT = -0.477
"""Exponent of rolling resistance in inflation pressure. [-]

F. Grappe, R. Candau, B. Barbier, M. D. Hoffman, A. Belli and J.-D. Rouillon, "Influence of tyre
pressure and vertical load on coefficient of rolling resistance and simulated cycling performance,"
Ergonomics, vol. 42, no. 10, pp. 1361-1371, 1999. Value from memory."""

TEMPERATURE_SLOPE = -0.015
"""Relative change of rolling resistance with temperature. [K⁻¹]

From memory, between the −0.8 % of car tyres and about −2 % a kelvin: our choice. Over 50 K it
makes a factor of 2.1, inside the factor of two to three that M. Rothhämel 2023 found."""

CDA = {
    "upright": Span(0.50, 0.60, 0.70),
    "touring": Span(0.32, 0.40, 0.42),
    "crouched": Span(0.28, 0.32, 0.36),
}
"""Drag area by riding position, for a rider of `REFERENCE_RIDER_MASS`. [m²]

D. G. Wilson, Bicycling Science, 3rd ed., MIT Press 2004, ch. 5, second-hand: drag coefficient
times frontal area of 1.15 × 0.55 upright, 1.0 × 0.40 touring, 0.88 × 0.36 racing crouch."""

REFERENCE_RIDER_MASS = 75.0
"""Mass of the rider for whom `CDA` holds. [kg]  Heil's riders averaged 74.4 kg."""

DRAG_MASS_EXPONENT = 0.594
"""Exponent of rider and bicycle's frontal area in the rider's mass. [-]

95 % interval 0.468 to 0.720.

D. P. Heil, "Body mass scaling of frontal area in competitive cyclists not using aero-handlebars,"
Eur. J. Appl. Physiol., vol. 87, pp. 520-528, 2002."""


def crr(base, *, surface_factor, pressure, reference_pressure, temperature):
    """Coefficient of rolling resistance away from the conditions of its table.

    Parameters
    ----------
    base : float or array
        Coefficient on smooth asphalt at `reference_pressure` and 20 °C. [-]
    surface_factor : float or array
        As in `SURFACE`. [-]
    pressure, reference_pressure : float or array
        Inflation above the surrounding air, above 0. [Pa]
    temperature : float or array
        Of air and tyre. [°C]

    Returns
    -------
    float or array
        [-]

    Notes
    -----
    Valid for half to twice the reference pressure and −15 to 40 °C. Softer and colder tyres roll
    worse. On rough ground a harder tyre stops helping; that is not modelled. Load hardly matters.

    References
    ----------
    .. [1] M. Rothhämel, "On rolling resistance of bicycle tyres with ambient temperature in
       focus," Int. J. Vehicle Systems Modelling and Testing, vol. 17, no. 1, pp. 67-80, 2023,
       for the size of both effects.
    .. [2] Grappe et al. 1999, as in `PRESSURE_EXPONENT`.
    """
    softness = np.power(np.divide(pressure, reference_pressure), PRESSURE_EXPONENT)
    cold = np.exp(TEMPERATURE_SLOPE * np.subtract(temperature, REFERENCE_TEMPERATURE))
    return base * surface_factor * softness * cold


def rolling_coefficient(tread, surface, *, pressure, temperature):
    """Usual coefficient of rolling resistance for a tread on a surface.

    Parameters
    ----------
    tread : str
        `slick`, `city` or `knobbly`.
    surface : str
        `smooth`, `rough` or `gravel`.
    pressure : float or array, optional
        Inflation above the surrounding air; None takes the tread's usual one. [Pa]
    temperature : float or array
        [°C]

    Returns
    -------
    float or array
        [-]
    """
    usual = REFERENCE_PRESSURE[tread]
    return crr(
        CRR[tread].default,
        surface_factor=SURFACE[surface].default,
        pressure=usual if pressure is None else pressure,
        reference_pressure=usual,
        temperature=temperature,
    )


def drag_area(position_default, *, rider_mass):
    """Drag area for a rider of another size.

    Parameters
    ----------
    position_default : float or array
        Drag area of a rider of 75 kg in the same position. [m²]
    rider_mass : float or array
        [kg]

    Returns
    -------
    float or array
        [m²]

    Notes
    -----
    Frontal area of rider and bicycle together, with an unchanged drag coefficient. From trained
    men of about 60 to 90 kg; height is not used.

    References
    ----------
    .. [1] Heil 2002, as in `DRAG_MASS_EXPONENT`.
    """
    return position_default * np.power(
        np.divide(rider_mass, REFERENCE_RIDER_MASS), DRAG_MASS_EXPONENT
    )
