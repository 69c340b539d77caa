"""The ride of many scenarios side by side gives what the reference gives; test_range.py holds the doubles to it more closely."""

import numpy as np
import pytest

from generator.compute import range as fast
from generator.compute import range_lanes
from tests.compute import rig
from tests.compute.test_range import bench, line, rough, tables


def road(count: int) -> fast.Road:
    random = np.random.default_rng(4)
    mass = random.uniform(70.0, 160.0, count)
    return fast.Road(
        mass=mass,
        inertia=mass + 1.5,
        crr=random.uniform(0.004, 0.012, count),
        cda=random.uniform(0.3, 0.8, count),
        air_density=random.uniform(1.15, 1.3, count),
        wind=random.uniform(0.0, 6.0, count),
        factor=random.uniform(0.94, 1.06, count),
    )


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_single_precision_gives_what_the_reference_gives(seed: int) -> None:
    """Within 0.1 %, our choice: single precision has 7 digits, and a cell rarely falls on the other side of a rule."""
    count = 300  # more than move together, and no multiple of it
    one = bench(rig.law(ratio=1.5))
    many = one._replace(table=np.zeros(count, dtype=np.intp))
    course, here = rough(seed), road(count)
    reference = fast.ride(many, here, course)
    found = range_lanes.ride(many, here, course, precision=np.float32)

    assert found.battery_energy == pytest.approx(reference.battery_energy, rel=1e-3)
    assert found.time == pytest.approx(reference.time, rel=1e-3)
    assert found.pushed == pytest.approx(reference.pushed, abs=1e-3)


@pytest.mark.parametrize("precision", [np.float32, np.float64])
def test_company_does_not_matter(precision: type) -> None:
    """A scenario's last digit is the same alone and among others: two builds agree byte for byte."""
    one = bench(rig.law(ratio=1.5))
    course, here = rough(5), road(300)
    many = one._replace(table=np.zeros(300, dtype=np.intp))
    found = range_lanes.ride(many, here, course, precision=precision)
    for place in (0, 7, 140, 299):
        mine = fast.Road(*(part[place : place + 1] for part in here))
        alone = range_lanes.ride(one, mine, course, precision=precision)
        for name, one_sum, of_many in zip(fast.Ride._fields, alone, found, strict=True):
            assert one_sum[0] == of_many[place], name


def test_it_says_how_far_a_bike_is_pushed() -> None:
    """One that has no force at all is pushed the whole way up: 1000 m, but for the first cell's rounding."""
    weak = tables(np.zeros(301))
    alone = fast.Road(*(part[:1] for part in road(1)))
    found = range_lanes.ride(weak, alone, line(grade=0.1))

    assert found.pushed[0] == pytest.approx(1000.0, rel=1e-3)


def test_works_can_be_left_out() -> None:
    """Energy and time are the same to the last digit without what rider and motor do."""
    one = bench(rig.law(ratio=1.5))
    course, here = rough(2), road(1)
    whole, part = (range_lanes.ride(one, here, course, works=works) for works in (True, False))

    assert np.isnan([part.rider_energy[0], part.motor_work[0]]).all()
    assert whole.rider_energy[0] > 0.0
    assert whole.motor_work[0] > 0.0
    assert (part.battery_energy, part.time) == (whole.battery_energy, whole.time)


def test_nothing_to_ride_is_nothing() -> None:
    none = tables(np.zeros(301))._replace(table=np.zeros(0, dtype=np.intp))
    found = range_lanes.ride(none, road(0), line())

    assert [len(part) for part in found] == [0] * 5
