"""What the intermediate results need to do with arrays, once."""

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Places = NDArray[np.intp]


def each_array(part: Any, change: Callable[[Array], Array]) -> Any:
    """The same (nested) named tuple with every array in it changed alike."""
    if isinstance(part, tuple):
        return type(part)(*(each_array(one, change) for one in part))
    return change(part)


def places_of(wanted: Places, given: Places) -> Places:
    """Where each wanted column is among the given ones, which rise; 0, the nominal, where it is not."""
    place = np.minimum(np.searchsorted(given, wanted), len(given) - 1)
    return np.where(given[place] == wanted, place, 0)


def at_speed(values: Array, speed: Array, *, step: float) -> Array:
    """Values on an even grid of speed from 0, read at a speed of their own each.

    Parameters
    ----------
    values : array, shape (..., speeds)
    speed : array, shape (...)
        Below the grid's end, or held there; one that is not finite reads at rest. [m/s]
    step : float
        Of the grid. [m/s]

    Returns
    -------
    array, shape (...)
    """
    place = np.clip(np.where(np.isfinite(speed), speed, 0.0) / step, 0, values.shape[-1] - 1.01)
    node = place.astype(np.intp)
    low = np.take_along_axis(values, node[..., None], axis=-1)[..., 0]
    high = np.take_along_axis(values, node[..., None] + 1, axis=-1)[..., 0]
    return low + (high - low) * (place - node)
