"""The ride in steps of time, against closed forms, scipy's integrator and its own energy balance."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from generator.compute.ride import Heat, Setup, Store, simulate
from generator.compute.road import STANDARD_GRAVITY as G
from generator.compute.traction import gear_in_use, traction
from tests.compute import rig

OFF = rig.drive(law=rig.law(ratio=0.0), standby=0.0, drivetrain_efficiency=1.0)
FREE = {"crr": 0.0, "cda": 0.0}


def resistance(grade, speed, *, road):
    slope = np.arctan(grade)
    climb = road.mass * G * (np.sin(slope) + road.crr * np.cos(slope))
    return climb + 0.5 * road.air_density * road.cda * speed**2


def test_coasting_to_terminal_speed():
    """Downhill without pedalling, v(t) = v_T tanh(t/τ + artanh(v₀/v_T)): closed form."""
    road, grade = rig.road(), -0.05
    slope = np.arctan(grade)
    pull = -100.0 * G * (np.sin(slope) + 0.007 * np.cos(slope))
    drag = 0.5 * 1.2 * 0.6
    terminal = np.sqrt(pull / drag)
    tau = 101.1 / np.sqrt(pull * drag)

    ride = simulate(
        rig.setup(drive=OFF, road=road),
        step=0.1, duration=40.0, grade=grade, start_speed=2.0, pedal_until=0.0, record=True,
    )  # fmt: skip

    times = 0.1 * np.arange(1, 401)
    exact = terminal * np.tanh(times / tau + np.arctanh(2.0 / terminal))
    np.testing.assert_allclose(ride.traces["speed"][:, 0], exact, rtol=2e-4)


def accelerate(step):
    """Ride for 10 s from 2 m/s with 80 W and no resistance."""
    setup = rig.setup(drive=OFF, pedaller=rig.tireless(), road=rig.road(**FREE))
    return simulate(setup, step=step, duration=10.0, start_speed=2.0)


def test_constant_power_acceleration():
    """½ m (v² − v₀²) = P t and x = m (v³ − v₀³)/(3 P): closed forms."""
    speed = np.sqrt(2.0**2 + 2 * 80.0 * 10.0 / 101.1)
    ride = accelerate(0.1)

    assert ride.speed == pytest.approx(speed, rel=1e-5)
    assert ride.distance == pytest.approx(101.1 * (speed**3 - 2.0**3) / 240.0, rel=1e-4)


def test_second_order_in_the_step():
    """Half the step gives a quarter of the error."""
    speed = np.sqrt(2.0**2 + 2 * 80.0 * 10.0 / 101.1)
    exact = 101.1 * (speed**3 - 2.0**3) / 240.0

    errors = [abs(accelerate(step).distance[0] - exact) for step in (0.4, 0.2, 0.1)]

    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.15)
    assert errors[1] / errors[2] == pytest.approx(4.0, rel=0.15)


@pytest.mark.parametrize("grade", [0.0, 0.04, 0.10])
def test_steady_speed_on_a_grade(grade):
    """P η = v (m g (sin θ + Crr cos θ) + ½ ρ CdA v²): root of the cubic."""
    road = rig.road()
    setup = rig.setup(drive=OFF, pedaller=rig.tireless(150.0), road=road)

    ride = simulate(setup, step=0.2, duration=300.0, grade=grade, start_speed=2.0)

    steady = brentq(lambda v: v * resistance(grade, v, road=road)[0] - 150.0, 0.1, 20.0)
    assert ride.speed == pytest.approx(steady, rel=1e-5)


@pytest.mark.parametrize(
    ("drive", "grade"),
    [
        (rig.drive(), 0.0),
        (rig.drive(), 0.06),
        (rig.drive(law=rig.law(ratio=np.inf)), 0.0),
        (rig.drive(law=rig.law(ratio=np.inf)), 0.06),
        (rig.drive(at_crank=1.0, machine=rig.MACHINE._replace(constant=2.6), freewheels=1.0), 0.03),
        (rig.drive(freewheels=0.0, law=rig.law(speed_limit=4.0)), 0.0),
    ],
    ids=["torque", "torque uphill", "cadence", "cadence uphill", "mid", "direct drive past its limit"],
)  # fmt: skip
def test_energy_against_scipy(drive, grade):
    """Two minutes on a constant grade against scipy's `solve_ivp` (DOP853, rtol 1e-9): within 0.2 %."""
    road = rig.road()
    setup = rig.setup(drive=drive, road=road)

    def slopes(_, state):
        speed = np.array([state[1]])
        development = setup.developments[[0], gear_in_use(speed, setup.thresholds)]
        now = traction(speed, development, pedaller=setup.pedaller, drive=drive)
        net = now.rider_force + now.motor_force - resistance(grade, speed, road=road)
        return [speed[0], (net / road.inertia)[0], now.battery_power[0], now.rider_power[0]]

    exact = solve_ivp(
        slopes, (0.0, 120.0), [0.0, 2.0, 0.0, 0.0], method="DOP853", rtol=1e-9, atol=1e-9, max_step=0.5
    ).y[:, -1]  # fmt: skip
    ride = simulate(setup, step=0.1, duration=120.0, grade=grade, start_speed=2.0)

    assert ride.distance == pytest.approx(exact[0], rel=2e-3)
    assert ride.balance.battery == pytest.approx(exact[2], rel=2e-3)
    assert ride.balance.rider == pytest.approx(exact[3], rel=2e-3)


def heated(count: int) -> Setup:
    """Several unlike bikes at once, with winding heat and a battery that empties."""
    some = np.arange(count) % 2
    drive = rig.drive(
        law=rig.law(ratio=np.where(some, np.inf, 1.5)), at_crank=1.0 * (np.arange(count) % 3 == 0),
        freewheels=1.0 * (np.arange(count) % 3 != 1),
    )  # fmt: skip
    return rig.setup(
        count,
        drive=drive,
        heat=Heat(np.full(count, 0.8), np.full(count, 300.0), np.full(count, 60.0)),
        store=Store(np.full(count, 10.0), np.full(count, 4e4), np.full(count, 0.9)),
    )


@given(
    grade=st.floats(-0.08, 0.12), wind=st.floats(-5.0, 5.0), factor=st.floats(0.9, 1.1), stop=st.floats(1.0, 60.0)
)  # fmt: skip
@settings(max_examples=15)
def test_books_close(grade, wind, factor, stop):
    """Energy in = energy out + losses, to 1e-6 of what went in."""
    setup = heated(6)
    setup = Setup(**{**vars(setup), "road": rig.road(6, wind=wind, factor=factor)})

    ride = simulate(setup, step=0.1, duration=60.0, grade=grade, pedal_until=stop)

    balance = ride.balance
    went_in = balance.battery + balance.rider + np.abs(balance.climbing)
    assert np.all(np.abs(balance.gap()) <= 1e-6 * went_in)


def test_machine_loss_is_iron_reduction_and_controller():
    """The balance's machine losses are those of the motor's equations beside copper.

    Without this test the balance would close whatever the motor did. Steady on the flat, geared hub.
    """
    setup = rig.setup(drive=rig.drive(law=rig.law(ratio=np.inf)))
    ride = simulate(setup, step=0.1, duration=1.0, start_speed=5.0, record=True)
    work = ride.traces["motor_force"][:, 0]  # N, nearly even over this second
    speed = ride.distance[0] / 1.0

    torque = work.mean() * rig.RADIUS
    current = torque / (1.5 * 0.97) + 0.5
    shaft, iron = torque / 0.97 * speed / rig.RADIUS, 1.5 * 0.5 * speed / rig.RADIUS
    into = (shaft + iron + current**2 * 0.2) / 0.97
    lost = iron + shaft * 0.03 + into * 0.03

    assert ride.balance.machine == pytest.approx(lost, rel=1e-3)
    assert ride.balance.copper == pytest.approx(current**2 * 0.2, rel=1e-3)


@given(delay=st.floats(0.05, 0.8), fall=st.floats(0.05, 0.5))
@settings(max_examples=15)
def test_run_on_is_delay_and_fall(delay, fall):
    """After the pedals stop, a cadence law's motor rests after delay + fall."""
    drive = rig.drive(law=rig.law(ratio=np.inf, current_cap=5.0))
    setup = rig.setup(drive=drive, timing=rig.timing(delay=delay, fall=fall))

    ride = simulate(setup, step=0.01, duration=4.0, start_speed=4.0, pedal_until=2.0, record=True)

    pushing = np.flatnonzero(ride.traces["motor_force"][:, 0] > 0.0)
    assert 0.01 * (pushing[-1] + 1) - 2.0 == pytest.approx(delay + fall, abs=0.025)


@pytest.mark.parametrize(("delay", "within"), [(0.12, 2.0), (0.5, 5.0)])
def test_run_on_within_the_standard(delay, within):
    """EN 15194 (as TBIS 15194:2019 §4.2.12): 2 m, or 5 m with cut-off switches on all brakes.

    The law can keep to both: at 25 km/h that takes 0.29 and 0.72 s in all.
    """
    fast = 25 / 3.6
    drive = rig.drive(law=rig.law(ratio=np.inf, speed_limit=30 / 3.6))
    setup = rig.setup(drive=drive, timing=rig.timing(delay=delay, fall=0.15))

    ride = simulate(setup, step=0.01, duration=4.0, start_speed=fast, pedal_until=0.5, record=True)

    distance = ride.traces["distance"][:, 0]
    pushing = np.flatnonzero(ride.traces["motor_force"][:, 0] > 0.0)
    assert 0.0 < distance[pushing[-1]] - distance[49] <= within


def test_no_help_without_pedalling():
    """EN 15194 (as TBIS 15194:2019 §4.2.11): assistance only when the rider pedals forward."""
    setup = rig.setup(drive=rig.drive(law=rig.law(ratio=np.inf)))

    ride = simulate(setup, step=0.05, duration=20.0, grade=-0.02, pedal_until=0.0, record=True)

    assert ride.speed[0] > 1.0
    assert np.all(ride.traces["motor_force"] == 0.0)


def test_help_comes_after_the_take_up_angle():
    """The crank turns by the sensor's angle before the motor pushes at all."""
    setup = rig.setup(timing=rig.timing(take_up_angle=2.0))
    ride = simulate(setup, step=0.01, duration=10.0, record=True)

    first = np.argmax(ride.traces["motor_force"][:, 0] > 0.0)
    assert ride.traces["crank"][first, 0] == pytest.approx(2.0, abs=0.05)


@pytest.mark.parametrize("short", [0.0, 1e-4])
def test_help_that_comes_and_goes_at_once(short):
    """A sheet may state a ramp of 0 s: all the help from the first step on, and none from the last."""
    drive = rig.drive(law=rig.law(ratio=np.inf, current_cap=5.0))
    timings = (rig.timing(ramp=short, fall=short), rig.timing(ramp=0.01, fall=0.01))
    once, within_a_step = (
        simulate(
            rig.setup(drive=drive, timing=timing),
            step=0.01, duration=4.0, pedal_until=2.0, record=True,
        )
        for timing in timings
    )  # fmt: skip

    assert np.max(once.traces["motor_force"]) > 0.0
    assert np.array_equal(once.traces["motor_force"], within_a_step.traces["motor_force"])
    assert np.array_equal(once.traces["speed"], within_a_step.traces["speed"])


def test_hot_motor_gives_up_power():
    """At its winding limit it pushes no more; before that, less and less."""
    heat = Heat(np.array([0.8]), np.array([200.0]), np.array([60.0]))
    setup = rig.setup(drive=rig.drive(law=rig.law(ratio=np.inf)), heat=heat)

    ride = simulate(setup, step=0.1, duration=400.0, grade=0.10, start_speed=2.0, record=True)

    push = ride.traces["motor_force"][:, 0]
    assert 40.0 < ride.winding[0] < 60.0
    assert push[-1] < 0.8 * push.max()


def test_all_at_once_is_one_by_one():
    """Scenarios do not see each other."""
    together = simulate(heated(4), step=0.1, duration=30.0, grade=0.03)
    for one in range(4):
        alone = simulate(pick(heated(4), one), step=0.1, duration=30.0, grade=0.03)

        assert alone.distance[0] == together.distance[one]
        assert alone.balance.battery[0] == together.balance.battery[one]


def pick(whole: Setup, one: int) -> Setup:
    """One scenario out of several."""

    def cut(part):
        if part is None:
            return None
        if isinstance(part, tuple):
            return type(part)(*(cut(each) for each in part))
        part = np.asarray(part, float)
        return part if part.ndim == 0 else part[one : one + 1]

    return Setup(**{name: cut(part) for name, part in vars(whole).items()})
