"""Intervals against distributions of known percentiles, and shares that add up.

Exact distributions: lognormal, normal, non-central χ²; by scipy.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from generator.figures.uncertainty import intervals
from generator.figures.uncertainty.intervals import Z90

SLOPES = st.lists(st.floats(-0.3, 0.3), min_size=1, max_size=6)


def evaluated(function, factors):
    """A figure's values in columns: nominal, then low and high of each factor; shape (1, columns)."""
    columns = [function(np.zeros(factors))]
    for factor in range(factors):
        for score in (-Z90, Z90):
            columns.append(function(np.eye(factors)[factor] * score))
    return np.array([columns])


def edges(function, factors, *, logarithmic):
    values = evaluated(function, factors)
    fitted = intervals.fit_response(values, logarithmic=logarithmic)
    found = intervals.compute_interval(values, fitted)
    return float(found.low[0]), float(found.high[0])


def test_normal_score_is_the_tenth_percentile():
    assert pytest.approx(stats.norm.ppf(0.9), abs=1e-12) == Z90


@given(slopes=SLOPES)
def test_linear_figure_is_normal(slopes):
    """A sum of normals: nominal ± 1.2816 √Σa². JCGM 100:2008, 5.1.2."""
    slopes = np.array(slopes)
    low, high = edges(lambda z: 50.0 + slopes @ z, len(slopes), logarithmic=False)

    spread = Z90 * np.sqrt(np.sum(slopes**2))
    assert (low, high) == pytest.approx((50.0 - spread, 50.0 + spread), abs=1e-9)


@given(slopes=SLOPES)
def test_product_of_powers_is_lognormal(slopes):
    """exp(Σ a z): percentiles of the lognormal, exactly."""
    slopes = np.array(slopes)
    low, high = edges(lambda z: 50.0 * np.exp(slopes @ z), len(slopes), logarithmic=True)

    exact = stats.lognorm(s=max(np.sqrt(np.sum(slopes**2)), 1e-12), scale=50.0)
    assert (low, high) == pytest.approx((exact.ppf(0.1), exact.ppf(0.9)), rel=1e-9)


@pytest.mark.parametrize(("curve", "within"), [(0.02, 0.01), (0.05, 0.01), (0.1, 0.03)])
def test_curved_figure_is_a_shifted_chi_square(curve, within):
    """z + b z² = b (z + 1/2b)² − 1/4b, non-central χ²; Cornish-Fisher within 1 to 3 % of the half width.

    b of 0.1 means that one side of a span counts nearly a third more than the other. A second factor too small to matter
    keeps the figure from being taken as moved by one alone.
    """
    low, high = edges(lambda z: 10.0 + z[0] + curve * z[0] ** 2 + 1e-6 * z[1], 2, logarithmic=False)

    shape = stats.ncx2(df=1, nc=(0.5 / curve) ** 2)
    exact = [10.0 + curve * shape.ppf(part) - 0.25 / curve for part in (0.1, 0.9)]
    assert (low, high) == pytest.approx(exact, abs=within * (exact[1] - exact[0]) / 2)


@given(down=st.floats(-0.5, 0.0), up=st.floats(0.001, 0.5), falling=st.booleans())
def test_one_lopsided_factor_alone_is_exact(down, up, falling):
    """Percentiles of a monotone function of one variable are the function of its percentiles: identity."""
    ends = [1.0 + down, 1.0 + up][:: -1 if falling else 1]
    values = np.array([[1.0, *ends, 1.0, 1.0]])

    found = intervals.compute_interval(values, intervals.fit_response(values, logarithmic=True))

    assert (found.low[0], found.high[0]) == (1.0 + down, 1.0 + up)


def test_several_curved_factors_against_many_draws():
    """Five lopsided factors at once, in the logarithm, against 400,000 draws."""
    random = np.random.default_rng(3)
    linear = np.array([0.15, -0.1, 0.08, 0.05, -0.03])
    square = np.array([-0.02, 0.015, -0.01, 0.01, 0.002])

    def figure(z):
        return 60.0 * np.exp(z @ linear + z**2 @ square)

    low, high = edges(figure, 5, logarithmic=True)
    exact = np.percentile(figure(random.standard_normal((400_000, 5))), [10, 90])
    assert (low, high) == pytest.approx(tuple(exact), rel=0.005)


@given(
    slopes=st.lists(st.floats(-1.0, 1.0), min_size=2, max_size=5),
    curves=st.lists(st.floats(-0.3, 0.3), min_size=5, max_size=5),
)
def test_shares_are_whole_and_value_is_inside(slopes, curves):
    """Shares add up to 1, or to 0 where nothing varies; low ≤ value ≤ high."""
    slopes, curves = np.array(slopes), np.array(curves)[: len(slopes)]
    values = evaluated(lambda z: 10.0 + z @ slopes + z**2 @ curves, len(slopes))
    fitted = intervals.fit_response(values, logarithmic=False)

    found, parts = intervals.compute_interval(values, fitted), intervals.compute_shares(fitted)

    total = parts.sum()
    assert total == pytest.approx(1.0) or (total == 0.0 and np.ptp(values) < 1e-9)
    assert found.low[0] <= found.value[0] <= found.high[0]


def test_figure_that_may_be_negative_is_not_taken_in_the_logarithm():
    values = evaluated(lambda z: 1.0 + 2.0 * z[0], 1)
    fitted = intervals.fit_response(values, logarithmic=True)

    assert not fitted.logarithmic[0]
    assert intervals.compute_interval(values, fitted).low[0] == pytest.approx(1.0 - 2.0 * Z90)


def test_scores_that_know_nothing_change_nothing():
    """The update with standard normal scores is the interval without one: identity."""
    values = evaluated(lambda z: 10.0 * np.exp(0.1 * z[0] + 0.02 * z[0] ** 2 - 0.1 * z[1]), 2)
    fitted = intervals.fit_response(values, logarithmic=True)
    nothing = intervals.FactorScores(np.zeros(2), np.eye(2))

    plain, told = (
        intervals.compute_interval(values, fitted),
        intervals.compute_interval(values, fitted, nothing),
    )

    np.testing.assert_allclose(told, plain, rtol=1e-12)


def test_scores_known_better_narrow_and_move():
    """A linear figure with one score at m with variance c: normal about a m, spread √(a² c + b²): closed form."""
    values = evaluated(lambda z: 50.0 + 3.0 * z[0] + 4.0 * z[1], 2)
    fitted = intervals.fit_response(values, logarithmic=False)
    known = intervals.FactorScores(np.array([0.5, 0.0]), np.diag([0.25, 1.0]))

    found = intervals.compute_interval(values, fitted, known)

    spread = Z90 * np.sqrt(9.0 * 0.25 + 16.0)
    assert found.value[0] == pytest.approx(51.5)
    assert found.low[0] == pytest.approx(51.5 - spread)
    assert found.high[0] == pytest.approx(51.5 + spread)
