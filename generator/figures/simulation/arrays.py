"""Helpers for arrays of intermediate results."""

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.intp]


def map_arrays(part: Any, change: Callable[[Array], Array]) -> Any:
    """A (nested) named tuple with `change` applied to every array in it."""
    if isinstance(part, tuple):
        return type(part)(*(map_arrays(one, change) for one in part))
    return change(part)


def find_places(wanted: Indices, given: Indices) -> Indices:
    """Index of each wanted column among the given ones, which ascend; 0, the nominal column, where it is missing."""
    place = np.minimum(np.searchsorted(given, wanted), len(given) - 1)
    return np.where(given[place] == wanted, place, 0)


def interpolate_at_speed(values: Array, speed: Array, *, step: float) -> Array:
    """Values on an even grid of speeds from 0, each interpolated at a speed of its own.

    Parameters
    ----------
    values : array, shape (..., speeds)
    speed : array, shape (...)
        Clipped to the grid; a speed that is not finite counts as 0. [m/s]
    step : float
        Step of the grid. [m/s]

    Returns
    -------
    array, shape (...)
    """
    place = np.clip(np.where(np.isfinite(speed), speed, 0.0) / step, 0, values.shape[-1] - 1.01)
    node = place.astype(np.intp)
    low = np.take_along_axis(values, node[..., None], axis=-1)[..., 0]
    high = np.take_along_axis(values, node[..., None] + 1, axis=-1)[..., 0]
    return low + (high - low) * (place - node)
