"""A route's profile from the creator's own GPX track.

Only distance and elevation leave this module: positions are never published. What happens to a
track:

1. Distance along the track by the haversine formula on a sphere of the mean Earth radius, points
   that lie within 2 m of the one before left out (a standing receiver wanders).
2. Elevation onto a grid of 20 m: the mean of the points around each grid place, straight lines over
   gaps.
3. A Savitzky–Golay filter: at each grid place, the value of the parabola fitted to the 17 points
   around it (320 m), by least squares; at the ends the window shrinks to what lies on both sides.

A receiver's error of a metre or two from point to point would otherwise read as hundreds of metres
of climbing. The price: a ramp shorter than about 100 m comes out flatter than it is. What is left,
for independent errors of 1 m on points 7 m apart: about 2 m of false climbing in a flat kilometre.

References
----------
.. [1] A. Savitzky and M. J. E. Golay, "Smoothing and differentiation of data by simplified least
   squares procedures," Analytical Chemistry, vol. 36, no. 8, pp. 1627-1639, 1964.
.. [2] R. W. Sinnott, "Virtues of the haversine," Sky and Telescope, vol. 68, no. 2, p. 159, 1984.
   From memory.
"""

import math
from typing import Any

import gpxpy
import numpy as np
from gpxpy.gpx import GPXException
from numpy.typing import NDArray

from generator.content.routes.profile import STEEPEST, Profile, make_steep_problem
from generator.specs.problems import Problem

EARTH_RADIUS = 6_371_008.8
"""Mean radius of the ellipsoid WGS 84, (2a + b)/3. [m]"""
STEP = 20.0
"""Spacing of the grid. [m]"""
HALF_WINDOW = 8
"""Points on each side in the filter's window."""
NEAREST = 2.0
"""Points closer than this to the one before are left out. [m]"""
LONGEST = 300_000.0
"""Length of a track. [m]"""

Numbers = NDArray[np.float64]


def read_track(
    text: str, file: str, *, surface: str = "smooth", stops: tuple[float, ...] = ()
) -> tuple[Profile | None, list[Problem]]:
    """The profile of a GPX text's longest track or route, smoothed, and every problem."""
    if "<!DOCTYPE" in text or "<!ENTITY" in text:
        what = "the track declares entities of its own"
        return None, [Problem(file, 1, 1, what, "Export it again as plain GPX")]
    try:
        recorded = gpxpy.parse(text)
    except (GPXException, ValueError, RecursionError) as error:
        reason = str(error).splitlines()[0] if str(error) else "it is empty"
        what = f"this is not a GPX track: {reason}"
        return None, [Problem(file, 0, 0, what[:200], "Export it again as GPX 1.1")]
    lines: list[list[Any]] = [
        [point for part in track.segments for point in part.points] for track in recorded.tracks
    ]
    lines += [route.points for route in recorded.routes]
    points = max(lines, key=len, default=[])
    known = [
        (point.latitude, point.longitude, point.elevation)
        for point in points
        if point.elevation is not None
        and all(map(math.isfinite, (point.latitude, point.longitude, point.elevation)))
    ]
    if len(known) < 0.9 * len(points) or len(known) < 2:
        what = f"{len(points) - len(known)} of the track's {len(points)} points have no elevation"
        return None, [
            Problem(file, 0, 0, what, "Export it with elevations, or write a CSV profile")
        ]
    distance, elevation = _measure_track(known)
    if not 2 * STEP <= distance[-1] <= LONGEST:
        what = f"the track is {distance[-1] / 1000:.2f} km long"
        mend = f"Use one of {2 * STEP:g} m to {LONGEST / 1000:g} km"
        return None, [Problem(file, 0, 0, what, mend)]
    grid, level = smooth_track(distance, elevation)
    grades = np.diff(level) / np.diff(grid)
    worst = int(np.argmax(np.abs(grades)))
    too_steep = abs(grades[worst]) > STEEPEST
    problems = (
        [make_steep_problem(file, 0, float(grades[worst]), float(grid[worst]))] if too_steep else []
    )
    profile = Profile(
        tuple(grid.round(1).tolist()),
        tuple(level.round(2).tolist()),
        (surface,) * len(grid),
        tuple(stop for stop in stops if stop <= grid[-1]),
    )
    return profile, problems


def smooth_track(distance: Numbers, elevation: Numbers) -> tuple[Numbers, Numbers]:
    """Elevation on the grid, filtered.

    Parameters
    ----------
    distance, elevation : array, shape (points,)
        Points along the track; distance increases. [m]

    Returns
    -------
    grid, level : array, shape (places,)
        Distance and elevation every `STEP`, and at the track's end. [m]
    """
    places = max(2, round(distance[-1] / STEP) + 1)
    grid = np.linspace(0.0, distance[-1], places)
    nearest = np.clip(np.rint(distance / (grid[1] - grid[0])).astype(int), 0, places - 1)
    counts = np.bincount(nearest, minlength=places)
    sums = np.bincount(nearest, weights=elevation, minlength=places)
    offsets = np.bincount(nearest, weights=distance, minlength=places)
    filled = counts > 0
    level = np.interp(grid, offsets[filled] / counts[filled], sums[filled] / counts[filled])
    return grid, _savitzky_golay(level)


def _savitzky_golay(values: Numbers) -> Numbers:
    """Centre of the least-squares parabola through the window around each value."""
    smooth = values.copy()
    last = len(values) - 1
    inner = np.arange(len(values))
    halves = np.minimum(np.minimum(inner, last - inner), HALF_WINDOW)
    for half in range(2, HALF_WINDOW + 1):  # a parabola through three points would change nothing
        centres = np.flatnonzero(halves == half)
        if len(centres):
            windows = values[centres[:, None] + np.arange(-half, half + 1)]
            smooth[centres] = windows @ _compute_weights(half)
    return smooth


def _compute_weights(half: int) -> Numbers:
    """Weights of the window's values in the fitted parabola's centre, shape (2·half + 1,)."""
    offsets = np.arange(-half, half + 1)
    powers = np.vander(offsets, 3, increasing=True)
    return np.linalg.pinv(powers)[0]


def _measure_track(track: list[tuple[float, float, float]]) -> tuple[Numbers, Numbers]:
    """Distance from the start and elevation of each point that is not left out. [m]"""
    distance, elevation = [0.0], [track[0][2]]
    kept = track[0]
    for point in track[1:]:
        step = _haversine(kept, point)
        if step >= NEAREST:
            distance.append(distance[-1] + step)
            elevation.append(point[2])
            kept = point
    return np.array(distance), np.array(elevation)


def _haversine(one: tuple[float, float, float], other: tuple[float, float, float]) -> float:
    """Distance of two points (latitude, longitude in degrees, elevation not used). [m]"""
    north, east, south, west = map(math.radians, (one[0], one[1], other[0], other[1]))
    half = (
        math.sin((south - north) / 2) ** 2
        + math.cos(north) * math.cos(south) * math.sin((west - east) / 2) ** 2
    )
    return 2 * EARTH_RADIUS * math.asin(math.sqrt(min(1.0, half)))
