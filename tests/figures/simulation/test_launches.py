"""Launches of the chart: they agree with the figures and conserve energy."""

import numpy as np
import pytest

from generator.figures.inputs import levels
from generator.figures.inputs.case import Case
from generator.figures.simulation import launches, manoeuvres, rides
from tests.figures import demo


@pytest.fixture(scope="module")
def case() -> Case:
    return Case(demo.some(*demo.UNLIKE), demo.content())


@pytest.fixture(scope="module")
def played(case: Case) -> launches.LaunchTraces:
    found: launches.LaunchTraces = case.compute_once(launches.simulate_launches)
    return found


def trace(case: Case, played: launches.LaunchTraces, bike: int, level: int) -> np.ndarray:
    rows = [case.rows[row] for row in played.rows]
    place = next(at for at, row in enumerate(rows) if (row.bike, row.level) == (bike, level))
    return played.speed[:, place]


def test_each_bike_is_played_at_three_levels_and_alone(
    case: Case, played: launches.LaunchTraces
) -> None:
    for bike, each in enumerate(case.bikes):
        found = {case.rows[row].level for row in played.rows if case.rows[row].bike == bike}
        assert found == {-1, 0, levels.find_middle_level(each), levels.count_levels(each) - 1}


def test_the_middle_level_is_the_launch_of_the_figures(
    case: Case, played: launches.LaunchTraces
) -> None:
    """One ride in the same steps, so that chart and figures cannot contradict each other."""
    times = case.compute_once(manoeuvres.simulate_launch).time
    for bike, each in enumerate(case.bikes):
        mine = trace(case, played, bike, levels.find_middle_level(each))
        reached = np.interp(
            manoeuvres.LAUNCH_SPEED, np.append(0.0, mine), np.append(0.0, played.time)
        )
        assert reached == pytest.approx(times[bike, 0], rel=1e-9)


def test_legs_alone_give_all_there_is(case: Case, played: launches.LaunchTraces) -> None:
    """Conservation of energy: what moves was given by the rider, and some of it is lost on the way."""
    road = case.compute_once(rides.build_still_road, case.rider.id, case.route.id)
    for place, row in enumerate(played.rows):
        if case.rows[row].level < 0:
            given = np.cumsum(played.rider_power[:, place]) * manoeuvres.TIME_STEP
            moving = 0.5 * road.inertia[case.rows[row].bike, 0] * played.speed[:, place] ** 2
            assert np.all(moving <= given)
            assert moving[-1] < 0.95 * given[-1]


def test_help_never_holds_back(case: Case, played: launches.LaunchTraces) -> None:
    """At every moment the highest level is at least as fast as the lowest, and that as the legs alone."""
    for bike, each in enumerate(case.bikes):
        alone, low, high = (
            trace(case, played, bike, level) for level in (-1, 0, levels.count_levels(each) - 1)
        )
        assert np.all(low >= alone - 1e-9)
        assert np.all(high >= low - 1e-9)


def test_curves_start_at_rest_and_say_what_is_marked() -> None:
    """15 km/h is marked; a launch is shown up to 20 km/h or 14 s."""
    for slug in demo.UNLIKE:
        rows = demo.table().curve(slug, "assist.launch")
        assert all(row["goal"] == pytest.approx(15 / 3.6, rel=1e-4) for row in rows)
        assert all(row["speed"] == 0 for row in rows if row["time"] == 0)
        assert max(row["time"] for row in rows) <= 14.0
        assert max(row["speed"] for row in rows) <= 20.5 / 3.6
