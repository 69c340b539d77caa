"""Shared intermediate results: the grades and the steady speeds at which push and resistance are in balance, without wind."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import range as fast
from generator.figures.inputs.case import Case
from generator.figures.simulation import drives, rides
from generator.figures.simulation.arrays import places_of

Array = NDArray[np.float64]

GRADES = np.round(np.arange(0.0, 0.2001, 0.01), 2)
"""For which steady speeds are known. [-]"""
ROWS_TOGETHER = 4
"""Rows whose speeds are looked for at once: as many as caches hold."""


class Balance(NamedTuple):
    """Forces of ridden rows and what holds them back, for the columns in which any of it differs."""

    force: Array
    """Shape (rows, columns, speeds). [N]"""
    road: fast.Road
    """Arrays of shape (rows, columns)."""
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]


class Steady(NamedTuple):
    """What holds for ridden rows in the columns in which it differs."""

    values: Array
    """Shape (rows, columns, …)."""
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]

    def widened(self, case: Case) -> Array:
        """The values in every column; shape (rows, all columns, …)."""
        return self.values[:, places_of(np.arange(case.columns), self.columns)]


def balance(case: Case, rider: str, hill: bool) -> Balance:
    """The rows are those of `drives.ridden_rows`: with `hill`, one per bike."""
    with case.recording() as used:
        tables, rows, table_columns = case.shared(drives.bench, rider, hill)
        here = case.shared(rides.still_road, rider, case.route.id)
    case.note(used)
    columns = case.active_columns(used)
    base = places_of(columns, table_columns)
    force = tables.force.reshape(len(rows), len(table_columns), -1)[:, base]
    block = np.ix_(case.row_bike[rows], columns)
    return Balance(force, fast.Road(*(part[block] for part in here)), rows, columns)


def hill_grades(case: Case, rider: str) -> Steady:
    """Grade on which each bike at its highest level is in balance at each of `drives.SPEEDS`, on a short hill. [-]"""
    force, road, rows, columns = case.shared(balance, rider, True)
    flat = fast.Road(*(part.ravel() for part in road))
    found = fast.grade_at_speed(force.reshape(-1, force.shape[-1]), drives.SPEEDS, road=flat)
    return Steady(found.reshape(force.shape), rows, columns)


def speeds(case: Case) -> Steady:
    """Steady speed of every row on each of `GRADES` with the default rider's everyday effort; NaN where none is held. [m/s]"""
    force, road, rows, columns = case.shared(balance, case.rider.id, False)
    found = np.empty((*force.shape[:2], len(GRADES)))
    for first in range(0, len(rows), ROWS_TOGETHER):
        these = slice(first, first + ROWS_TOGETHER)
        here = fast.Road(*(part[these].ravel() for part in road))
        part = force[these].reshape(-1, force.shape[-1])
        found[these] = fast.steady_speed(part, drives.SPEEDS, GRADES, road=here).reshape(
            found[these].shape
        )
    return Steady(found, rows, columns)


def speed_on(case: Case, grade: float) -> Array:
    """Steady speed of every row on one of `GRADES`; shape (rows, columns). [m/s]"""
    found = case.shared(speeds)
    (at,) = np.flatnonzero(grade == GRADES)
    return found._replace(values=found.values[..., at]).widened(case)
