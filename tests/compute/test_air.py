"""Air against other people's libraries, and properties that no table can fake."""

import ambiance
import numpy as np
import pytest
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import given
from hypothesis import strategies as st

from generator.compute import air

TEMPERATURES = st.floats(-20, 45)
HUMIDITIES = st.floats(0, 1)
ALTITUDES = st.floats(0, 4000)


@pytest.mark.parametrize("celsius", [0.01, 10, 20, 30, 40])
@pytest.mark.parametrize("humidity", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("pressure", [80e3, 101_325.0])
def test_moist_air_agrees_with_coolprop(celsius, humidity, pressure):
    """Within 0.1 % of CoolProp's humid air, which has real gases (I. H. Bell et al. 2014)."""
    volume = HAPropsSI("Vha", "T", celsius + 273.15, "P", pressure, "R", humidity)

    assert air.density(celsius, pressure, humidity) == pytest.approx(1 / volume, rel=1e-3)


def test_standard_atmosphere_agrees_with_ambiance():
    """Within 0.01 % of the ICAO standard atmosphere as the package ambiance has it."""
    geopotential = np.array([0.0, 300, 1000, 2500, 4000])
    atmosphere = ambiance.Atmosphere(ambiance.Atmosphere.geop2geom_height(geopotential))
    temperature = air.standard_temperature(geopotential)

    np.testing.assert_allclose(temperature + 273.15, atmosphere.temperature, rtol=1e-6)
    np.testing.assert_allclose(air.standard_pressure(geopotential), atmosphere.pressure, rtol=1e-4)
    np.testing.assert_allclose(
        air.density(temperature, altitude=geopotential), atmosphere.density, rtol=1e-4
    )


@given(temperature=TEMPERATURES, drier=HUMIDITIES, wetter=HUMIDITIES)
def test_humid_air_is_lighter(temperature, drier, wetter):
    """More vapour at the same temperature and pressure never makes air heavier."""
    drier, wetter = sorted((drier, wetter))

    assert air.density(temperature, humidity=wetter) <= air.density(temperature, humidity=drier)


@given(temperature=TEMPERATURES, low=ALTITUDES, high=ALTITUDES)
def test_air_thins_with_height(temperature, low, high):
    """At one temperature, higher air is never denser."""
    low, high = sorted((low, high))

    assert air.density(temperature, altitude=high) <= air.density(temperature, altitude=low)


@given(cold=TEMPERATURES, warm=TEMPERATURES, humidity=HUMIDITIES)
def test_warm_air_is_lighter(cold, warm, humidity):
    """At one pressure and relative humidity, warmer air is never denser."""
    cold, warm = sorted((cold, warm))

    assert air.density(warm, humidity=humidity) <= air.density(cold, humidity=humidity)


@given(temperature=st.lists(TEMPERATURES, min_size=1, max_size=5), humidity=HUMIDITIES)
def test_density_broadcasts(temperature, humidity):
    """An array gives what its elements give one by one."""
    together = air.density(np.array(temperature), humidity=humidity)

    np.testing.assert_array_equal(
        together, [air.density(t, humidity=humidity) for t in temperature]
    )


@pytest.mark.parametrize("height", [0.03, 0.01, [1.0, 0.02]])
def test_wind_needs_a_height_above_the_ground(height):
    """At or under the roughness length the profile has no meaning, and the message says so."""
    with pytest.raises(ValueError, match="height must be above the roughness length"):
        air.wind_at_height(5.0, height=height, roughness=0.03)


def test_wind_needs_rough_ground():
    """A roughness length of zero is refused."""
    with pytest.raises(ValueError, match="roughness length must be above 0 m"):
        air.wind_at_height(5.0, height=1.0, roughness=0.0)
