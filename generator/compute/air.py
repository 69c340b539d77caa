"""Air: density of moist air, the standard atmosphere, wind at the rider's height.

Every function broadcasts as a NumPy ufunc would. Temperatures are in °C, as in a forecast.
"""

import numpy as np

DRY_GAS_CONSTANT = 287.05287
"""Specific gas constant of dry air. [J kg⁻¹ K⁻¹]  ISO 2533:1975."""

VAPOUR_GAS_CONSTANT = 461.5
"""Specific gas constant of water vapour. [J kg⁻¹ K⁻¹]  CRC Handbook, from the molar masses."""

ZERO_CELSIUS = 273.15
"""0 °C. [K]"""

SEA_LEVEL_PRESSURE = 101_325.0
"""Standard pressure at sea level. [Pa]  ISO 2533:1975."""

SEA_LEVEL_TEMPERATURE = 15.0
"""Standard temperature at sea level. [°C]  ISO 2533:1975."""

LAPSE_RATE = 0.0065
"""Standard fall of temperature with height. [K m⁻¹]  ISO 2533:1975."""

PRESSURE_EXPONENT = 5.25588
"""Gravity over lapse rate and gas constant. [-]  ISO 2533:1975."""


def density(temperature, pressure=None, humidity=0.0, altitude=0.0):
    """Density of moist air.

    Parameters
    ----------
    temperature : float or array
        [°C]
    pressure : float or array, optional
        Pressure where the ride is, not reduced to sea level. Without it, the pressure of the
        standard atmosphere at `altitude`. [Pa]
    humidity : float or array, default 0
        Relative humidity over water, 0 to 1. [-]
    altitude : float or array, default 0
        Geopotential altitude; not used when `pressure` is given. [m]

    Returns
    -------
    float or array
        [kg m⁻³]

    Notes
    -----
    An ideal mixture of dry air and vapour: within 0.1 % of the CIPM-2007 equation between
    −10 and 40 °C. Humid air is lighter than dry air at the same temperature and pressure.

    References
    ----------
    .. [1] A. Picard, R. S. Davis, M. Gläser and K. Fujii, "Revised formula for the density of
       moist air (CIPM-2007)," Metrologia, vol. 45, pp. 149-155, 2008.
    """
    if pressure is None:
        pressure = standard_pressure(altitude)
    kelvin = np.add(temperature, ZERO_CELSIUS)
    vapour = humidity * saturation_pressure(temperature)
    dry = (pressure - vapour) / (DRY_GAS_CONSTANT * kelvin)
    return dry + vapour / (VAPOUR_GAS_CONSTANT * kelvin)


def standard_temperature(altitude):
    """Temperature of the standard atmosphere.

    Parameters
    ----------
    altitude : float or array
        Geopotential altitude. [m]

    Returns
    -------
    float or array
        [°C]

    Notes
    -----
    Valid from −2000 to 11 000 m.

    References
    ----------
    .. [1] ISO 2533:1975, Standard Atmosphere.
    """
    return SEA_LEVEL_TEMPERATURE - LAPSE_RATE * np.asarray(altitude, dtype=float)


def standard_pressure(altitude):
    """Pressure of the standard atmosphere.

    Parameters
    ----------
    altitude : float or array
        Geopotential altitude. [m]

    Returns
    -------
    float or array
        [Pa]

    Notes
    -----
    Valid from −2000 to 11 000 m.

    References
    ----------
    .. [1] ISO 2533:1975, Standard Atmosphere.
    """
    ratio = (standard_temperature(altitude) + ZERO_CELSIUS) / (SEA_LEVEL_TEMPERATURE + ZERO_CELSIUS)
    return SEA_LEVEL_PRESSURE * ratio**PRESSURE_EXPONENT


def saturation_pressure(temperature):
    """Pressure of water vapour in saturated air, over water.

    Parameters
    ----------
    temperature : float or array
        [°C]

    Returns
    -------
    float or array
        [Pa]

    Notes
    -----
    Valid from −30 to 50 °C, within 0.1 % of the CRC Handbook from 0 to 30 °C. Below freezing it
    stays the pressure over (supercooled) water, because forecasts give humidity over water.

    References
    ----------
    .. [1] A. L. Buck, "New equations for computing vapor pressure and enhancement factor,"
       J. Appl. Meteorol., vol. 20, pp. 1527-1532, 1981; the coefficients are those of the 1996
       revision, from memory.
    """
    celsius = np.asarray(temperature, dtype=float)
    return 611.21 * np.exp((18.678 - celsius / 234.5) * celsius / (257.14 + celsius))


def wind_at_height(speed_10m, *, height, roughness):
    """Wind at a height, from a forecast for 10 m, by the logarithmic profile.

    Parameters
    ----------
    speed_10m : float or array
        Wind at 10 m. [m s⁻¹]
    height : float or array
        Height asked for; about 1 m for a rider. [m]
    roughness : float or array
        Roughness length of the ground: about 0.03 in open grass. [m]

    Returns
    -------
    float or array
        [m s⁻¹]

    Raises
    ------
    ValueError
        If a height is not above its roughness length, where the profile has no meaning.

    Notes
    -----
    For neutral air over even ground; streets and hedges change it more than the formula shows.

    References
    ----------
    .. [1] World Meteorological Organization, Guide to Instruments and Methods of Observation,
       WMO-No. 8, chapter on surface wind. Value of the roughness length from memory.
    """
    height, roughness = np.asarray(height, dtype=float), np.asarray(roughness, dtype=float)
    if np.any(roughness <= 0):
        raise ValueError(f"roughness length must be above 0 m (got {np.min(roughness):g} m)")
    if np.any(height <= roughness):
        raise ValueError(
            f"height must be above the roughness length (got {np.min(height):g} m"
            f" over ground of {np.max(roughness):g} m)"
        )
    return speed_10m * np.log(height / roughness) / np.log(10.0 / roughness)
