"""A route laid on its grid: climb, stops, braking, surface and wind are those of the route."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.course import STEP, course

DISTANCE = np.array([0.0, 300.0, 700.0, 1000.0])
ELEVATION = np.array([10.0, 10.0, 42.0, 12.0])


def lay(**changes):
    parts = {"surface": [1.0, 2.0, 1.0, 1.0], "stops": [500.0], "braking": 1.5, "top_speed": 12.5}
    return course(DISTANCE, ELEVATION, **(parts | changes))


def test_climb_is_kept():
    """Rises of all cells add up to the route's: identity."""
    grid = lay()

    assert np.sum(grid.grade * np.diff(grid.distance)) == pytest.approx(2.0)
    assert np.max(grid.grade) == pytest.approx(0.08)
    assert grid.length == 1000.0


def test_braking_is_even():
    """Before a stop the ceiling is v² = 2 a s, nothing at the stop: closed form."""
    grid = lay()
    at = np.searchsorted(grid.distance, [500.0, 489.0, 486.0])

    np.testing.assert_allclose(grid.ceiling[at], np.sqrt(2 * 1.5 * np.array([0.0, 11.0, 14.0])))
    assert grid.ceiling[-1] == 0.0
    assert np.max(grid.ceiling) == 12.5


def test_wind_turns_half_way():
    grid = lay()
    out = grid.distance[1:] <= 500.0

    assert np.all(grid.headwind[out] == 1.0)
    assert np.all(grid.headwind[~out] == -1.0)


def test_surface_belongs_to_the_stretch_that_begins():
    grid = lay(surface=[1.0, 2.5, 1.0, 1.0])
    middle = 0.5 * (grid.distance[1:] + grid.distance[:-1])

    np.testing.assert_array_equal(grid.surface == 2.5, (middle > 300.0) & (middle < 700.0))


@given(
    stops=st.lists(st.floats(0.0, 1000.0), max_size=8),
    braking=st.floats(0.5, 4.0),
)
def test_grid_is_sound(stops, braking):
    """Nodes rise, cells are short, and every stop is a stop."""
    grid = lay(stops=stops, braking=braking)
    steps = np.diff(grid.distance)

    assert np.all(steps > 0.0)
    assert np.max(steps) <= STEP + 1e-9
    for stop in stops:
        nearest = np.argmin(np.abs(grid.distance - stop))
        assert grid.ceiling[nearest] < np.sqrt(2 * braking * 1e-2)
