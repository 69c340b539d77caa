"""The update of figures by the reviewers' own rides."""

from dataclasses import replace

import numpy as np
import pytest

from generator.figures.inputs.case import Case
from generator.figures.rides import own_rides
from generator.figures.table.tabulate import tabulate
from generator.figures.uncertainty import intervals
from tests.figures import demo


def test_every_ride_of_the_demo_is_checked():
    """No ride of a computable bike is left out, and the residual is measured over computed."""
    table = demo.table()
    expected = sum(
        len(bike.rides)
        for bike in demo.bikes()
        if f"range.{demo_route()}" in table.figures_of(bike.slug)
    )

    assert len(table.rides) == expected
    for check in table.rides:
        ratio = check.measured / check.computed  # each of which has six digits
        assert check.residual == pytest.approx(ratio - 1.0, abs=1e-5)
        assert check.low <= check.computed <= check.high


def demo_route() -> str:
    return next(route.id for route in demo.content().routes if route.default)


def test_rides_tighten_the_range():
    """With its rides, a bike's range has a narrower interval relative to its value than without."""
    bike = demo.bike("pellimor-fenno")
    with_rides = tabulate([bike], demo.content()).get(bike.slug, "range.rolling")
    without = tabulate([replace(bike, rides=())], demo.content()).get(bike.slug, "range.rolling")
    assert with_rides is not None
    assert without is not None

    assert (with_rides.high - with_rides.low) / with_rides.value < (
        without.high - without.low
    ) / without.value
    assert with_rides.before_rides == (without.value, without.low, without.high)
    assert "own rides" in with_rides.note
    assert without.note == ""


def test_an_exact_ride_moves_nothing():
    """A ride that measures what the model says leaves the value and tightens the interval."""
    bike = demo.bike("pellimor-fenno")
    ride = bike.rides[0]
    case = Case([bike], demo.content())
    computed = own_rides.update_scores(case)[0][0].computed
    assert ride.energy is not None
    exact = replace(ride, energy=replace(ride.energy, value=computed * ride.distance.value))
    found = tabulate([replace(bike, rides=(exact,))], demo.content()).get(
        bike.slug, "energy.rolling"
    )
    assert found is not None
    assert found.before_rides is not None

    assert found.value == pytest.approx(found.before_rides[0], rel=1e-4)
    assert found.high - found.low < found.before_rides[2] - found.before_rides[1]


def test_update_is_the_gaussian_one():
    """Two factors, one ride: mean and covariance as in the textbook, Tarantola 2005, ch. 3 (value from memory)."""
    slopes, noise, residual = np.array([0.08, 0.05]), 0.03**2, 0.10
    total = slopes @ slopes + noise
    mean, covariance = slopes * residual / total, np.eye(2) - np.outer(slopes, slopes) / total
    design = slopes[None, :]
    inverse = np.linalg.inv(np.eye(2) + design.T @ design / noise)

    np.testing.assert_allclose(inverse, covariance, atol=1e-12)
    np.testing.assert_allclose(inverse @ design.T[:, 0] * residual / noise, mean, atol=1e-12)


def test_identity_scores_change_nothing():
    """Standard normal scores leave the interval as it was."""
    rng = np.random.default_rng(1)
    values = 10.0 * np.exp(0.05 * rng.standard_normal((1, 9)))
    fitted = intervals.fit_response(values, logarithmic=True)
    prior = intervals.FactorScores(np.zeros(4), np.eye(4))

    plain = intervals.compute_interval(values, fitted)
    same = intervals.compute_interval(values, fitted, prior)

    np.testing.assert_allclose(np.array(plain), np.array(same), rtol=1e-12)


def test_the_days_effort_is_not_the_bikes():
    """What holds for one day only is no lasting property: its score stays standard normal."""
    case = Case([demo.bike("oskelm-talli")], demo.content())
    _, scores = own_rides.update_scores(case)
    place = case.factors.index("rider.effort")

    assert scores[0].mean[place] == pytest.approx(0.0, abs=1e-12)
    assert scores[0].covariance[place, place] == pytest.approx(1.0)
