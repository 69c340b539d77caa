"""A route made ready for riding: one grid of distance that all scenarios share.

The grid is fine before and after each stop and even between them. Braking is in it as a ceiling on speed. SI.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

STEP = 20.0
"""Longest step of the grid. [m]"""
AFTER = (0.5, 1.5, 3.0, 5.0, 8.0, 12.0)
"""Distance of grid nodes after a stop. [m]"""
BEFORE = (0.5, 1.5, 3.0, 5.0, 8.0, 11.0, 14.0, 17.0, 20.0, 24.0, 28.0, 33.0, 39.0, 46.0, 54.0)
"""Distance of grid nodes before a stop, as far back as braking may begin. [m]"""


class Course(NamedTuple):
    """Arrays along the grid; n cells between n + 1 nodes."""

    distance: Array
    """Distance of each node from the start; shape (n + 1,). [m]"""
    grade: Array
    """Rise over run of each cell; shape (n,). [-]"""
    surface: Array
    """Factor on the rolling resistance in each cell; shape (n,). [-]"""
    headwind: Array
    """Share of the route's wind that blows against the rider, −1 to 1; shape (n,). [-]"""
    ceiling: Array
    """Highest speed at each node from which the rider can still brake; 0 at a stop; shape (n + 1,). [m/s]"""

    @property
    def length(self) -> float:
        """Length of the course. [m]"""
        return float(self.distance[-1])


def course(
    distance: ArrayLike,
    elevation: ArrayLike,
    *,
    surface: ArrayLike,
    stops: ArrayLike,
    braking: float,
    top_speed: float,
) -> Course:
    """Lay the grid over a route.

    Parameters
    ----------
    distance, elevation : array, shape (p,)
        Points of the route, from its start. [m]
    surface : array, shape (p,)
        Factor on rolling resistance of the stretch that begins at each point. [-]
    stops : array
        Where the rider stops, from the start; the end is a stop in any case. [m]
    braking : float
        Deceleration before a stop. [m/s²]
    top_speed : float
        Speed that the rider does not go beyond downhill. [m/s]

    Returns
    -------
    Course
        With the wind against in the first half of the distance and behind in the second.
    """
    distance = np.asarray(distance, dtype=float)
    elevation = np.asarray(elevation, dtype=float)
    length = float(distance[-1])
    ends = np.unique(np.round(np.append(np.asarray(stops, dtype=float), length), 3))  # on nodes
    after, before = np.array([0.0, *AFTER]), np.array([0.0, *BEFORE])
    cuts = [np.arange(0.0, length, STEP), after]
    cuts += [end + after for end in ends] + [end - before for end in ends]
    nodes = np.unique(np.round(np.clip(np.concatenate(cuts), 0.0, length), 3))
    middle = 0.5 * (nodes[1:] + nodes[:-1])
    grade = np.diff(np.interp(nodes, distance, elevation)) / np.diff(nodes)
    here = np.clip(np.searchsorted(distance, middle, side="right") - 1, 0, len(distance) - 1)
    to_stop = np.min(np.where(ends >= nodes[:, None] - 1e-9, ends - nodes[:, None], np.inf), axis=1)
    ceiling = np.minimum(np.sqrt(2.0 * braking * np.maximum(to_stop, 0.0)), top_speed)
    headwind = np.where(middle < 0.5 * length, 1.0, -1.0)
    return Course(nodes, grade, np.asarray(surface, dtype=float)[here], headwind, ceiling)
