"""Intervals of figures and shares of their inputs, from values at perturbed inputs.

Each uncertain input k is normal in its own score z, its 10th and 90th percentile at z = ∓1.2816. A figure is evaluated
at the nominal inputs and with one input at a time at either percentile. Through the three points goes
f_k(z) = a z + b z², in the logarithm of the figure where it is positive, else in the figure itself; the figure is the sum of
the f_k (a separable second-order propagation). The sum's first three cumulants are exact, and the Cornish-Fisher
expansion turns them into percentiles.

References
----------
JCGM 100:2008, Guide to the expression of uncertainty in measurement, 5.1 (first- and second-order propagation).
E. A. Cornish and R. A. Fisher, "Moments and cumulants in the specification of distributions," Revue de l'Institut
International de Statistique 5 (1938), 307-320.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

Z90 = 1.2815515655446004
"""90th percentile of the standard normal distribution. [-]"""


class Response(NamedTuple):
    """Second-order response of one figure; arrays of shape (bikes, factors)."""

    linear: Array
    """a, per score."""
    square: Array
    """b, per squared score."""
    logarithmic: NDArray[np.bool_]
    """Whether a bike's response is in the logarithm. Shape (bikes,)."""

    def select_bikes(self, places: list[int]) -> "Response":
        """The response of some bikes only."""
        return Response(self.linear[places], self.square[places], self.logarithmic[places])


def fit_response(values: Array, *, logarithmic: bool) -> Response:
    """Fit the response to a figure's values; shape (bikes, 1 + 2 factors): nominal, then low and high of each factor."""
    nominal, low, high = values[:, :1], values[:, 1::2], values[:, 2::2]
    positive = np.all(values > 0.0, axis=1) & logarithmic
    safe = np.where(positive[:, None], values, 1.0)
    down = np.where(positive[:, None], np.log(safe[:, 1::2] / safe[:, :1]), low - nominal)
    up = np.where(positive[:, None], np.log(safe[:, 2::2] / safe[:, :1]), high - nominal)
    return Response((up - down) / (2.0 * Z90), (up + down) / (2.0 * Z90**2), positive)


def compute_variance(fitted: Response) -> Array:
    """Variance by factor, a² + 2b²; shape (bikes, factors)."""
    return fitted.linear**2 + 2.0 * fitted.square**2


def compute_shares(fitted: Response) -> Array:
    """Share of the variance by factor, 0 to 1; zero where nothing varies; shape (bikes, factors)."""
    parts = compute_variance(fitted)
    total = parts.sum(axis=1, keepdims=True)
    return np.where(total > 0.0, parts / np.where(total > 0.0, total, 1.0), 0.0)


class FactorScores(NamedTuple):
    """Distribution of the factors' scores of a bike after its own rides: normal with this mean and covariance."""

    mean: Array
    """Shape (factors,), or (bikes, factors)."""
    covariance: Array
    """Shape (factors, factors), or (bikes, factors, factors)."""

    def select_factors(self, factors: list[int] | NDArray[np.intp]) -> "FactorScores":
        """The scores of some factors only."""
        return FactorScores(self.mean[..., factors], self.covariance[..., factors, :][..., factors])


def compute_cumulants(fitted: Response) -> tuple[Array, Array, Array]:
    """Mean, variance and third cumulant of the deviation from nominal; each of shape (bikes,)."""
    linear, square = fitted.linear, fitted.square
    third = (6.0 * linear**2 * square + 8.0 * square**3).sum(axis=1)
    return square.sum(axis=1), compute_variance(fitted).sum(axis=1), third


def compute_updated_cumulants(
    fitted: Response, scores: FactorScores
) -> tuple[Array, Array, Array, Array]:
    """Shift, mean, variance and third cumulant after an update of the scores; each of shape (bikes,).

    With z = m + w, w normal with covariance C, and B = diag(b): the shift a·m + Σ b m² is the figure at the new
    mean; l = a + 2 B m is its slope there. Mean, variance and third cumulant of l·w + w·B·w are tr(BC),
    l·C·l + 2 tr(BCBC) and 6 l·CBC·l + 8 tr(BCBCBC), exactly.
    """
    linear, square = fitted.linear, fitted.square
    mean, covariance = scores
    shift = (linear * mean + square * mean**2).sum(axis=-1)
    slope = (linear + 2.0 * square * mean)[..., None, :]
    curved = square[..., :, None] * covariance
    double = curved @ curved
    along = slope @ covariance
    spread = (along * slope).sum(axis=(-2, -1)) + 2.0 * np.trace(double, axis1=-2, axis2=-1)
    cubed = (double * np.swapaxes(curved, -2, -1)).sum(axis=(-2, -1))
    third = 6.0 * (along @ curved * slope).sum(axis=(-2, -1)) + 8.0 * cubed
    return shift, shift + np.trace(curved, axis1=-2, axis2=-1), spread, third


def compute_percentile(mean: Array, spread: Array, third: Array, score: float) -> Array:
    """Deviation from nominal at a normal score, by Cornish-Fisher from three cumulants."""
    deviation = np.sqrt(spread)
    safe = np.where(deviation > 0.0, deviation, 1.0)
    skew = np.where(deviation > 0.0, third / safe**3, 0.0)
    skew = np.clip(skew, -1.5, 1.5)  # where the expansion stays monotone between the percentiles
    bend = skew / 6.0 * (score**2 - 1.0) - skew**2 / 36.0 * (2.0 * score**3 - 5.0 * score)
    return mean + deviation * (score + bend)


class Interval(NamedTuple):
    """A value with its 10th and 90th percentile; each of shape (bikes,)."""

    value: Array
    low: Array
    high: Array


def compute_interval(
    values: Array, fitted: Response, scores: FactorScores | None = None
) -> Interval:
    """Value with its 10th and 90th percentile, widened where needed to include the value.

    A figure that only one factor moves has its percentiles at that factor's own, however lopsided they are.
    `scores` is the distribution of the factors after own rides; without it they are standard normal.
    """
    nominal = values[:, 0]

    def apply_deviation(deviation: Array) -> Array:
        inside = np.where(fitted.logarithmic, deviation, 0.0)
        return np.where(fitted.logarithmic, nominal * np.exp(inside), nominal + deviation)

    if scores is None:
        value, (mean, spread, third) = nominal, compute_cumulants(fitted)
    else:
        shift, mean, spread, third = compute_updated_cumulants(fitted, scores)
        value = apply_deviation(shift)
    low, high = (
        apply_deviation(compute_percentile(mean, spread, third, score)) for score in (-Z90, Z90)
    )
    if scores is None:
        alone = np.count_nonzero(compute_variance(fitted) > 0.0, axis=1) == 1
        low = np.where(alone, values.min(axis=1), low)
        high = np.where(alone, values.max(axis=1), high)
    return Interval(value, np.minimum(low, value), np.maximum(high, value))
