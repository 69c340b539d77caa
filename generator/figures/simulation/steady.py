"""Shared intermediate results: grades and steady speeds at which push balances resistance, without wind."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import range as fast
from generator.figures.inputs.case import Case
from generator.figures.simulation import drives, rides
from generator.figures.simulation.arrays import find_places

Array = NDArray[np.float64]

GRADES = np.round(np.arange(0.0, 0.2001, 0.01), 2)
"""Grades for which steady speeds are computed. [-]"""
ROWS_AT_ONCE = 4
"""Rows whose speeds are computed at once: as many as caches hold."""


class ForceBalance(NamedTuple):
    """Push and resistance of ridden rows, for the columns in which either differs."""

    force: Array
    """Shape (rows, columns, speeds). [N]"""
    road: fast.Road
    """Arrays of shape (rows, columns)."""
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]


class SteadyValues(NamedTuple):
    """Values of ridden rows, for the columns in which they differ."""

    values: Array
    """Shape (rows, columns, …)."""
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]

    def spread_over_columns(self, case: Case) -> Array:
        """The values in every column; shape (rows, all columns, …)."""
        return self.values[:, find_places(np.arange(case.columns), self.columns)]


def build_force_balance(case: Case, rider: str, hill: bool) -> ForceBalance:
    """Push and resistance of the rows of `drives.find_ridden_rows`; with `hill`, one per bike."""
    with case.collect_uses() as used:
        tables, rows, table_columns = case.compute_once(drives.build_traction_tables, rider, hill)
        here = case.compute_once(rides.build_still_road, rider, case.route.id)
    case.record_uses(used)
    columns = case.find_active_columns(used)
    base = find_places(columns, table_columns)
    force = tables.force.reshape(len(rows), len(table_columns), -1)[:, base]
    block = np.ix_(case.row_bike[rows], columns)
    return ForceBalance(force, fast.Road(*(part[block] for part in here)), rows, columns)


def compute_hill_grades(case: Case, rider: str) -> SteadyValues:
    """Grade on which each bike at its highest level is in balance at each of `drives.SPEEDS`, on a short hill. [-]"""
    force, road, rows, columns = case.compute_once(build_force_balance, rider, True)
    flat = fast.Road(*(part.ravel() for part in road))
    found = fast.grade_at_speed(force.reshape(-1, force.shape[-1]), drives.SPEEDS, road=flat)
    return SteadyValues(found.reshape(force.shape), rows, columns)


def compute_steady_speeds(case: Case) -> SteadyValues:
    """Steady speed of every row on each of `GRADES` with the default rider's everyday effort; NaN where none is held. [m/s]"""
    force, road, rows, columns = case.compute_once(build_force_balance, case.rider.id, False)
    found = np.empty((*force.shape[:2], len(GRADES)))
    for first in range(0, len(rows), ROWS_AT_ONCE):
        these = slice(first, first + ROWS_AT_ONCE)
        here = fast.Road(*(part[these].ravel() for part in road))
        part = force[these].reshape(-1, force.shape[-1])
        found[these] = fast.steady_speed(part, drives.SPEEDS, GRADES, road=here).reshape(
            found[these].shape
        )
    return SteadyValues(found, rows, columns)


def get_speed_on_grade(case: Case, grade: float) -> Array:
    """Steady speed of every row on one of `GRADES`; shape (rows, columns). [m/s]"""
    found = case.compute_once(compute_steady_speeds)
    (at,) = np.flatnonzero(grade == GRADES)
    return found._replace(values=found.values[..., at]).spread_over_columns(case)
