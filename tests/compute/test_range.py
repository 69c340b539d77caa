"""Rides in steps of distance: numpy and compiled code agree, and closed forms hold."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.compute import range as fast
from generator.compute import range_lanes, road
from generator.compute.course import course
from generator.compute.traction import traction
from tests.compute import rig

SPEEDS = np.arange(0.0, 15.01, 0.05)


def tables(force, *, coast=0.0, standby=0.0):
    """Tables of one scenario for each row of `force`; the battery gives the force's power, and standby."""
    force = np.atleast_2d(np.asarray(force, float))
    count = len(force)
    return fast.Tables(
        speed_step=0.05,
        force=force,
        coast_force=np.full(count, float(coast)),
        rider_power=np.zeros_like(force),
        battery_power=force * SPEEDS + standby,
        standby=np.full(count, float(standby)),
        motor_force=force,
        table=np.arange(count),
    )


def bench(law, **changes):
    """Tables of the invented bike under a law."""
    drive = rig.drive(law=law, **changes)
    found = traction(SPEEDS, 5.0, pedaller=rig.tireless(), drive=drive)
    return tables(found.rider_force + found.motor_force, standby=4.0)._replace(
        rider_power=found.rider_power[None],
        battery_power=found.battery_power[None],
        motor_force=found.motor_force[None],
    )


def line(length=1000.0, grade=0.0, stops=(), *, braking=1.5, top_speed=14.0):
    return course(
        [0.0, length], [0.0, grade * length], surface=[1.0, 1.0], stops=stops, braking=braking, top_speed=top_speed
    )  # fmt: skip


def rough(seed, *, points=40):
    """A bumpy invented route with stops and bad surfaces."""
    random = np.random.default_rng(seed)
    distance = np.concatenate([[0.0], np.cumsum(random.uniform(20.0, 200.0, points))])
    return course(
        distance,
        np.cumsum(random.normal(0.0, 4.0, points + 1)),
        surface=random.choice([1.0, 1.4, 2.5], points + 1),
        stops=random.uniform(0.0, distance[-1], 6),
        braking=1.5,
        top_speed=12.5,
    )


@given(seed=st.integers(0, 10_000))
@settings(max_examples=25)
def test_compiled_is_the_reference(seed):
    """numpy and compiled code give the same sums to 1e-12, on bikes and roads drawn at random."""
    random = np.random.default_rng(seed)
    count = 12
    heights, ends = random.uniform(20.0, 250.0, count), random.uniform(3.0, 14.0, count)
    force = heights[:, None] * np.clip(
        (ends[:, None] - SPEEDS) / 0.5, 0.0, 1.0
    ) + 60.0 / np.maximum(SPEEDS, 0.5)
    drawn = tables(force, coast=-2.0, standby=4.0)._replace(
        rider_power=random.uniform(0.0, 200.0, force.shape), table=random.permutation(count)
    )
    here = rig.road(
        count, mass=random.uniform(70, 200, count), inertia=random.uniform(200, 210, count),
        wind=random.uniform(-4, 4, count), factor=random.uniform(0.9, 1.1, count),
    )  # fmt: skip
    path = rough(seed)

    plain, compiled = fast.ride(drawn, here, path), range_lanes.ride(drawn, here, path)

    for name, one, other in zip(fast.Ride._fields, plain, compiled, strict=True):
        np.testing.assert_allclose(other, one, rtol=1e-12, atol=1e-9, err_msg=name)


def test_no_scenario_at_all():
    """An empty catalogue rides nothing."""
    nobody = tables(np.zeros((1, len(SPEEDS))))._replace(table=np.zeros(0, dtype=np.intp))

    assert all(len(part) == 0 for part in range_lanes.ride(nobody, rig.road(0), line()))


def test_constant_force_without_resistance():
    """Work is force × distance: identity. The time is that of even acceleration and braking."""
    path = line(500.0)
    here = rig.road(crr=0.0, cda=0.0)

    ridden = range_lanes.ride(tables(np.full(len(SPEEDS), 20.0)), here, path)

    top = 1.0 / (1.0 / 20.0 + 1.0 / (1.5 * 101.1)) * 500.0  # where the brakes take over [J]
    pushed = top / 20.0
    assert ridden.motor_work == pytest.approx(20.0 * pushed, rel=0.02)
    peak = np.sqrt(2.0 * top / 101.1)
    time = (peak - fast.WALK) / (20.0 / 101.1) + peak / 1.5
    assert ridden.time == pytest.approx(time, rel=0.02)


@pytest.mark.parametrize("grade", [0.0, 0.05])
def test_long_even_road_is_ridden_at_the_steady_speed(grade):
    """Five more even kilometres cost the time and energy of the balance of forces; start and end drop out."""
    given_tables, here = bench(rig.law(ratio=np.inf, current_cap=6.0)), rig.road()

    short, long = (
        range_lanes.ride(given_tables, here, line(length, grade)) for length in (5e3, 10e3)
    )

    speed = fast.steady_speed(given_tables.force, SPEEDS, grade, road=here)[0, 0]
    power = np.interp(speed, SPEEDS, given_tables.battery_power[0])
    assert long.time - short.time == pytest.approx(5e3 / speed, rel=1e-3)
    assert long.battery_energy - short.battery_energy == pytest.approx(
        power * 5e3 / speed, rel=2e-3
    )


def test_energy_balance_of_a_closed_loop():
    """Up and down with a stop: work put in is what air and tyres take and brakes burn; never less than tyres take."""
    path = course(
        [0.0, 500.0, 1000.0], [0.0, 20.0, 0.0], surface=[1.0] * 3, stops=[], braking=1.5, top_speed=14.0
    )  # fmt: skip
    ridden = range_lanes.ride(bench(rig.law()), rig.road(), path)
    rolling = 100.0 * road.STANDARD_GRAVITY * 0.007 * 1000.0

    assert ridden.rider_energy * 0.96 + ridden.motor_work > rolling


@given(speed=st.floats(1.0, 14.0), force=st.floats(-50.0, 400.0), wind=st.floats(-5.0, 5.0))
def test_grade_at_speed_inverts_the_road(speed, force, wind):
    """Fed back into the road's own resistance, the grade found holds the force given."""
    here = rig.road(wind=wind)
    grade = fast.grade_at_speed(np.array([[force]]), np.array([speed]), road=here)[0, 0]

    held = road.resistance(
        speed, grade=grade, mass=100.0, crr=0.007, cda=0.6, air_density=1.2, headwind=wind
    )
    assert held == pytest.approx(force, abs=1e-6)


@given(
    ratio=st.sampled_from([0.0, 1.0, np.inf]),
    limit=st.floats(3.0, 9.0),
    grades=st.lists(st.floats(-0.05, 0.25), min_size=2, max_size=8),
)
def test_steeper_is_never_faster(ratio, limit, grades):
    """Steady speeds fall, or stay, as the road steepens."""
    grades = np.sort(grades)
    bike = bench(rig.law(ratio=ratio, speed_limit=limit))

    speed = fast.steady_speed(bike.force, SPEEDS, grades, road=rig.road())[0]

    held = speed[np.isfinite(speed)]
    assert np.all(np.diff(held) <= 1e-9)
    assert np.all(np.isfinite(speed[: len(held)]))


@given(
    ratio=st.sampled_from([0.5, 1.5, np.inf]),
    mass=st.floats(70.0, 160.0),
    more=st.floats(1.0, 60.0),
    seed=st.integers(0, 50),
)
@settings(max_examples=40)
def test_steeper_road_is_never_ridden_faster(ratio, mass, more, seed):
    """A road tilted up all along takes no less time, and a heavier load costs no less energy.

    (Only tilting: a loop whose hills are all made higher also falls more steeply, and may be ridden faster.)
    """
    random = np.random.default_rng(seed)
    distance = np.linspace(0.0, 4000.0, 21)
    hills = np.concatenate([[0.0], np.abs(random.normal(25.0, 10.0, 19)), [0.0]])

    def lay(tilt):
        return course(
            distance, hills + tilt * distance, surface=np.ones(21), stops=[2000.0], braking=1.5, top_speed=12.5
        )  # fmt: skip

    bike = bench(rig.law(ratio=ratio))
    light, heavy = (
        rig.road(mass=mass, inertia=mass + 1),
        rig.road(mass=mass + more, inertia=mass + more + 1),
    )

    gentle = range_lanes.ride(bike, light, lay(0.0))
    steep = range_lanes.ride(bike, light, lay(0.001 * more))
    laden = range_lanes.ride(bike, heavy, lay(0.0))

    assert steep.time >= gentle.time * (1 - 1e-3)
    assert laden.battery_energy >= gentle.battery_energy * (1 - 1e-3)


def test_scenarios_do_not_see_each_other():
    """Scenarios ridden together give the same as each alone."""
    both = bench(rig.law())._replace(table=np.array([0, 0]))
    path = rough(7)
    together = range_lanes.ride(both, rig.road(2, mass=[90.0, 130.0]), path)

    for place, mass in enumerate([90.0, 130.0]):
        alone = range_lanes.ride(bench(rig.law()), rig.road(mass=mass), path)
        for one, many in zip(alone, together, strict=True):
            assert one[0] == many[place]
