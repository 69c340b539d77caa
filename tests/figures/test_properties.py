"""Properties of the figures of any bike, tested on random variations of the demo bikes."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.figures.inputs.case import Case
from generator.figures.kinds.range import compute_range
from generator.figures.simulation import drives, rides, steady
from generator.figures.table.tabulate import tabulate
from generator.specs.bike import Bike, Stated
from tests.figures import demo

SLUGS = [bike.slug for bike in demo.bikes() if bike.slug != "gromblo-drusk"]
ANY = st.sampled_from(SLUGS)
QUICK = settings(max_examples=12)


def stated(quantity: Stated | None, value: float) -> Stated:
    return Stated(value, f"{value:g}") if quantity is None else replace(quantity, value=value)


def heavier(bike: Bike, kilograms: float) -> Bike:
    """The bike, heavier by some kilograms and never weighed."""
    assert bike.mass is not None
    tests = tuple(test for test in bike.tests if test.what != "mass")
    mass = stated(bike.mass, bike.mass.value + kilograms)
    return replace(bike, slug=f"{bike.slug}-heavy", mass=mass, tests=tests)


def fuller(bike: Bike, factor: float) -> Bike:
    """The bike with a larger battery of the same voltage and mass."""
    pack = bike.battery
    charge = stated(pack.charge, pack.charge.value * factor) if pack.charge else None
    energy = stated(pack.energy, pack.energy.value * factor) if pack.energy else None
    return replace(
        bike, slug=f"{bike.slug}-full", battery=replace(pack, charge=charge, energy=energy)
    )


def ranges(bikes, route: str) -> np.ndarray:
    """Nominal range at every level; shape (bikes, levels). [m]"""
    case = Case(bikes, demo.content())
    count = max(len(bikes[0].assist.levels), 1)
    found = [compute_range(case, route, case.rider.id, level + 1)[:, 0] for level in range(count)]
    return np.array(found).T


def pushed(bikes, route: str) -> np.ndarray:
    """Distance over which the bikes are pushed on foot; shape (bikes, levels). [m]"""
    case = Case(bikes, demo.content())
    found = case.compute_once(rides.ride_route, case.rider.id, route).pushed[:, 0]
    return found[case.row_level >= 0].reshape(len(bikes), -1)


@given(slug=ANY, kilograms=st.floats(1.0, 40.0))
@QUICK
def test_heavier_never_goes_farther_on_a_hilly_route(slug, kilograms):
    """In the saddle, that is: a rider whom the extra weight makes walk up the ramp spares the battery."""
    bike = demo.bike(slug)
    if bike.mass is None:
        bike = replace(bike, mass=Stated(24.0, "24 kg"), tests=())
    pair = (heavier(bike, 0.0), heavier(bike, kilograms))

    light, heavy = ranges(pair, "hilly")

    walked, walked_more = pushed(pair, "hilly")
    assert np.all((heavy < light) | (walked_more > walked))
    assert np.any(heavy < light)


@given(slug=ANY, factor=st.floats(1.02, 2.5), route=st.sampled_from(["flat", "rolling", "hilly"]))
@QUICK
def test_more_battery_is_never_less_range(slug, factor, route):
    bike = demo.bike(slug)

    small, large = ranges((bike, fuller(bike, factor)), route)

    assert np.all(large > small)


@given(slug=ANY)
@QUICK
def test_steeper_is_never_faster(slug):
    """At every level the curve of speed over grade falls, or ends."""
    table = demo.table()
    levels: dict[str, list[tuple[float, float]]] = {}
    for row in table.curve(slug, "hills.speed_by_grade"):
        levels.setdefault(row["level"], []).append((row["grade"], row["speed"]))

    assert levels
    for points in levels.values():
        grades, speeds = zip(*points, strict=True)
        assert list(grades) == sorted(grades)
        assert all(later <= earlier * (1 + 1e-4) for earlier, later in itertools.pairwise(speeds))


@given(slug=ANY)
@QUICK
def test_higher_levels_are_no_slower(slug):
    """Each level up cruises as fast or faster, and with the motor off slowest of all."""
    case = Case(demo.some(slug), demo.content())

    speeds = case.compute_once(steady.get_speed_on_grade, 0.0)[:, 0]

    assert np.all(np.diff(speeds) >= -1e-6)


@given(slugs=st.lists(ANY, min_size=2, max_size=3, unique=True))
@settings(max_examples=3)
def test_bikes_do_not_see_each_other(slugs):
    """A bike's figures are the same alone and in company (scalar = array)."""
    together = tabulate(demo.some(*slugs), demo.content())
    alone = tabulate(demo.some(slugs[0]), demo.content())

    mine = alone.figures_of(slugs[0])
    assert set(mine) == set(together.figures_of(slugs[0]))
    for id, figure in mine.items():
        other = together.figures_of(slugs[0])[id]
        assert (other.value, other.low, other.high) == pytest.approx(
            (figure.value, figure.low, figure.high), rel=2e-5, abs=1e-9
        ), id
        assert together.working(other).steps == alone.working(figure).steps, id


@pytest.mark.parametrize("slug", ["neshwick-arrum", "tuspen-hebb-lt"])
def test_switchable_bike_in_torque_mode_is_a_torque_bike(slug):
    """All figures equal those of the same bike with a torque sensor."""
    switchable = demo.bike(slug)
    assert switchable.assist.sensor == "switchable"
    torque = replace(switchable, assist=replace(switchable.assist, sensor="torque"))

    tables = [tabulate([bike], demo.content()) for bike in (switchable, torque)]
    one, other = (table.figures_of(slug) for table in tables)

    assert set(one) == set(other)
    for id, figure in one.items():
        for name in ("value", "low", "high", "basis", "sentence"):
            assert getattr(figure, name) == getattr(other[id], name), (id, name)
        assert tables[0].working(figure) == tables[1].working(other[id]), id


@given(slug=ANY)
@QUICK
def test_tables_of_traction_are_sound(slug):
    """Powers are finite and never below nothing; a direct drive only drags, the battery never charges."""
    case = Case(demo.some(slug), demo.content())
    tables, _, _ = case.compute_once(drives.build_traction_tables, case.rider.id, False)

    for name in ("force", "rider_power", "battery_power", "motor_force"):
        assert np.all(np.isfinite(getattr(tables, name))), name
    assert np.all(tables.rider_power >= 0.0)
    assert np.all(tables.battery_power >= tables.standby[:, None] - 1e-9)
    assert np.all(tables.motor_force >= tables.coast_force[:, None] - 1e-9)
    driven = tables.motor_force * drives.SPEEDS
    assert np.all(driven <= tables.battery_power + 1e-6)


def test_common_random_numbers():
    """The same factor moves all bikes alike: wind is low in one column for every bike."""
    case = Case(demo.some(*demo.UNLIKE), demo.content())
    here = case.compute_once(rides.build_road, case.rider.id, "flat")
    wind = here.wind - here.wind[:, :1]

    np.testing.assert_array_equal(wind, np.broadcast_to(wind[0], wind.shape))
    assert np.count_nonzero(wind[0]) == 2
