"""From a figure at perturbed inputs to its interval and to what drives it.

Each uncertain input k is normal in its own score z, its 10th and 90th percentile at z = ∓1.2816. A figure is evaluated
at the nominal inputs and with one input at a time at each of the two. Through the three points goes
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
    """Per bike: is the response in the logarithm? Shape (bikes,)."""


def response(values: Array, *, logarithmic: bool) -> Response:
    """Fit the response to a figure's values; shape (bikes, 1 + 2 factors): nominal, then low and high by turns."""
    nominal, low, high = values[:, :1], values[:, 1::2], values[:, 2::2]
    positive = np.all(values > 0.0, axis=1) & logarithmic
    safe = np.where(positive[:, None], values, 1.0)
    down = np.where(positive[:, None], np.log(safe[:, 1::2] / safe[:, :1]), low - nominal)
    up = np.where(positive[:, None], np.log(safe[:, 2::2] / safe[:, :1]), high - nominal)
    return Response((up - down) / (2.0 * Z90), (up + down) / (2.0 * Z90**2), positive)


def variance(fitted: Response) -> Array:
    """Variance by factor, a² + 2b²; shape (bikes, factors)."""
    return fitted.linear**2 + 2.0 * fitted.square**2


def shares(fitted: Response) -> Array:
    """Share of the variance by factor, 0 to 1; zero where nothing varies; shape (bikes, factors)."""
    parts = variance(fitted)
    total = parts.sum(axis=1, keepdims=True)
    return np.where(total > 0.0, parts / np.where(total > 0.0, total, 1.0), 0.0)


def percentile(fitted: Response, score: float) -> Array:
    """Deviation from nominal at a normal score, by Cornish-Fisher; shape (bikes,).

    In the logarithm where the response is logarithmic.
    """
    linear, square = fitted.linear, fitted.square
    mean = square.sum(axis=1)
    spread = np.sqrt(variance(fitted).sum(axis=1))
    third = (6.0 * linear**2 * square + 8.0 * square**3).sum(axis=1)
    skew = np.where(spread > 0.0, third / np.where(spread > 0.0, spread, 1.0) ** 3, 0.0)
    skew = np.clip(
        skew, -1.5, 1.5
    )  # where the expansion stays monotone between the 10th and 90th percentile
    return mean + spread * (
        score + skew / 6.0 * (score**2 - 1.0) - skew**2 / 36.0 * (2.0 * score**3 - 5.0 * score)
    )


def interval(values: Array, fitted: Response) -> tuple[Array, Array]:
    """10th and 90th percentile of a figure, never narrower than to hold the nominal value; each of shape (bikes,)."""
    nominal = values[:, 0]
    edges = []
    for score in (-Z90, Z90):
        deviation = percentile(fitted, score)
        edges.append(
            np.where(
                fitted.logarithmic,
                nominal * np.exp(np.where(fitted.logarithmic, deviation, 0.0)),
                nominal + deviation,
            )
        )
    return np.minimum(edges[0], nominal), np.maximum(edges[1], nominal)
