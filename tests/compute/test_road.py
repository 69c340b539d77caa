"""Road load: the worked example of its paper, and properties."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute import road

CALM = {"mass": 100.0, "crr": 0.006, "cda": 0.5, "air_density": 1.2}

SPEEDS = st.floats(0.1, 20)
GRADES = st.floats(-0.3, 0.3)
WINDS = st.floats(-12, 12)


@pytest.fixture
def martin():
    """Worked example of Martin et al. 1998: a rider over a measured stretch.

    Values from memory; their arithmetic was confirmed by hand, term by term.
    """
    speed = 471.8 / 56.42
    wind = 2.94 * np.cos(np.radians(310 - 340))
    parts = road.components(
        speed,
        grade=0.003,
        mass=90.0,
        crr=0.0032,
        cda=0.2565 + 0.0044,  # rider, and the turning wheels
        air_density=1.2234,
        headwind=wind,
        gravity=9.81,
    )
    return speed, parts


def kinetic_power():
    """Power into speed and spin, from 8.27 to 8.45 m/s."""
    mass = road.effective_mass(90.0, inertia=0.14, wheel_radius=0.311)
    return 0.5 * mass * (8.45**2 - 8.27**2) / 56.42


def test_martin_air(martin):
    """Aerodynamic drag takes 158.8 W."""
    speed, parts = martin

    assert parts.aero * speed == pytest.approx(158.8, abs=0.1)


def test_martin_tyres(martin):
    """Rolling resistance takes 23.6 W."""
    speed, parts = martin

    assert parts.rolling * speed == pytest.approx(23.6, abs=0.05)


def test_martin_hill(martin):
    """The slope takes 22.1 W."""
    speed, parts = martin

    assert parts.climbing * speed == pytest.approx(22.1, abs=0.05)


def test_martin_bearings(martin):
    """The wheel bearings take 1.37 W."""
    speed, _ = martin

    assert road.bearing_drag(speed) * speed == pytest.approx(1.37, abs=0.005)


def test_martin_speeding_up():
    """Speeding up takes 2.44 W."""
    assert kinetic_power() == pytest.approx(2.44, abs=0.02)


def test_martin_total(martin):
    """At the pedals it makes 213.3 W with an efficiency of 0.97698."""
    speed, parts = martin
    at_the_wheel = (sum(parts) + road.bearing_drag(speed)) * speed + kinetic_power()

    assert at_the_wheel / 0.97698 == pytest.approx(213.3, abs=0.1)


@given(speed=SPEEDS, grade=GRADES)
def test_steeper_is_never_easier(speed, grade):
    """A steeper road never asks for less force in the range of the model."""
    gentle = road.resistance(speed, grade=grade, **CALM)
    steep = road.resistance(speed, grade=grade + 0.01, **CALM)

    assert steep > gentle


@given(speed=SPEEDS, wind=WINDS)
def test_headwind_is_never_easier(speed, wind):
    """More wind against never asks for less force."""
    less = road.resistance(speed, grade=0.0, headwind=wind, **CALM)
    more = road.resistance(speed, grade=0.0, headwind=wind + 1, **CALM)

    assert more > less


@pytest.mark.parametrize("name", ["mass", "crr", "cda", "air_density", "grade", "headwind"])
def test_every_argument_counts(name):
    """Each argument changes the result: none is silently ignored."""
    usual = CALM | {"grade": 0.02, "headwind": 1.0}
    changed = usual | {name: usual[name] * 1.1}

    assert road.resistance(5.0, **changed) > road.resistance(5.0, **usual)


def test_tailwind_pushes():
    """Air that overtakes the rider pushes, as hard as it would hold at the same airspeed."""
    pushed = road.components(4.0, grade=0.0, headwind=-10.0, **CALM)
    held = road.components(6.0, grade=0.0, **CALM)

    assert pushed.aero == pytest.approx(-held.aero)


def test_slope_is_exact():
    """On 20 % the climb is sin(arctan 0.2), which is 2 % under 0.2."""
    climb = road.components(5.0, grade=0.2, **CALM).climbing / (100.0 * road.STANDARD_GRAVITY)

    assert climb == pytest.approx(0.2 / np.sqrt(1.04))


@given(speed=st.lists(SPEEDS, min_size=1, max_size=5), grade=GRADES, wind=WINDS)
def test_resistance_broadcasts(speed, grade, wind):
    """An array gives what its elements give one by one."""
    together = road.resistance(np.array(speed), grade=grade, headwind=wind, **CALM)
    one_by_one = [road.resistance(v, grade=grade, headwind=wind, **CALM) for v in speed]

    np.testing.assert_array_equal(together, one_by_one)


@given(speed=st.floats(0, 20), grade=st.floats(-0.5, 0.5), wind=WINDS)
def test_steady_grade_inverts_resistance(speed, grade, wind):
    """The grade found for a force is the grade that asks for it."""
    force = road.resistance(speed, grade=grade, headwind=wind, **CALM)

    found = road.steady_grade(speed, force, headwind=wind, **CALM)

    assert found == pytest.approx(grade, abs=1e-9)


def test_steady_grade_of_too_much_force():
    """A force beyond the weight finds no road, in an array as alone."""
    found = road.steady_grade(np.array([1.0, 1.0]), np.array([50.0, 5000.0]), **CALM)

    np.testing.assert_array_equal(np.isnan(found), [False, True])


@given(speed=SPEEDS, grade=GRADES, efficiency=st.floats(0.8, 1.3))
def test_power_at_the_pedals(speed, grade, efficiency):
    """Power is force times speed over an efficiency, which is never above 1."""
    force = road.resistance(speed, grade=grade, **CALM)

    found = road.power(speed, grade=grade, efficiency=efficiency, **CALM)

    assert found == pytest.approx(force * speed / min(efficiency, 1.0))


@given(pressure=st.floats(200e3, 500e3), more=st.floats(1e3, 100e3))
def test_harder_tyres_roll_better(pressure, more):
    """More pressure, less rolling resistance on smooth asphalt."""
    soft = road.rolling_coefficient("city", "smooth", pressure=pressure, temperature=20.0)
    hard = road.rolling_coefficient("city", "smooth", pressure=pressure + more, temperature=20.0)

    assert hard < soft


@pytest.mark.parametrize(("low", "high"), [("pressure", 1000e3), ("temperature", 40.0)])
def test_pressure_and_warmth_matter_by_a_factor_of_two_to_three(low, high):
    """Over the practical range each changes rolling resistance by two to three.

    M. Rothhämel, Int. J. Vehicle Systems Modelling and Testing, vol. 17, no. 1, 2023.
    The range itself, 150 to 1000 kPa and −10 to 40 °C, is our reading.
    """
    usual = {"pressure": 350e3, "temperature": 20.0}
    start = {"pressure": 150e3, "temperature": -10.0}[low]
    worst = road.rolling_coefficient("city", "smooth", **usual | {low: start})
    best = road.rolling_coefficient("city", "smooth", **usual | {low: high})

    assert 2.0 <= worst / best <= 3.0


@pytest.mark.parametrize("tread", road.CRR)
@pytest.mark.parametrize("surface", road.SURFACE)
def test_tables_are_in_order(tread, surface):
    """Every usual value lies in its interval, and the lookup uses it as it stands."""
    for span in (*road.CRR.values(), *road.SURFACE.values(), *road.CDA.values()):
        assert span.low <= span.default <= span.high

    found = road.rolling_coefficient(tread, surface, pressure=None, temperature=20.0)
    assert found == pytest.approx(road.CRR[tread].default * road.SURFACE[surface].default)


@given(mass=st.floats(45, 120), more=st.floats(0.5, 20))
def test_bigger_riders_catch_more_wind(mass, more):
    """Drag area grows with the rider, but slower than mass does (Heil 2002: power 0.594)."""
    ratio = road.drag_area(0.6, rider_mass=mass + more) / road.drag_area(0.6, rider_mass=mass)

    assert 1 < ratio < (mass + more) / mass
    assert ratio == pytest.approx(((mass + more) / mass) ** 0.594)
    assert road.drag_area(0.6, rider_mass=75.0) == pytest.approx(0.6)
