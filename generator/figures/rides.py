"""Shared intermediate results: every bike at every level on every route, and on steady grades."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import air, coefficients
from generator.compute import range as fast
from generator.compute.course import Course, course
from generator.figures.assumptions import ASSUMPTIONS
from generator.figures.case import Case
from generator.figures.drives import SPEEDS, bench

Array = NDArray[np.float64]


class Totals(NamedTuple):
    """One ride of a route; arrays of shape (rows, columns), NaN for bikes that lack an input."""

    battery_energy: Array
    """[J]"""
    rider_energy: Array
    """[J]"""
    motor_work: Array
    """[J]"""
    time: Array
    """[s]"""
    pushed: Array
    """[m]"""


def grid(case: Case, route: str) -> Course:
    """The route on its grid of distance."""
    path = case.routes[route]
    surface = [coefficients.SURFACE[name].default for name in path.surface]
    return course(
        path.distance,
        path.elevation,
        surface=surface,
        stops=path.stops,
        braking=ASSUMPTIONS["road.braking"].value,
        top_speed=ASSUMPTIONS["road.top_speed"].value,
    )


def road(case: Case, rider: str, route: str) -> fast.Road:
    """What holds each bike back on a route; arrays of shape (bikes, columns)."""
    mass = case["bike.mass"] + case.input("rider.mass", rider=rider) + case.input("rider.load", rider=rider)
    warmth = case.input("road.temperature", route=route)
    radius = case["wheels.circumference"] / (2.0 * np.pi)
    reference = np.array([[coefficients.REFERENCE_PRESSURE[bike.tread]] for bike in case.bikes])
    return fast.Road(
        mass=mass,
        inertia=mass + ASSUMPTIONS["wheels.inertia"].value / radius**2,
        crr=coefficients.crr(
            case["tyre.crr"],
            surface_factor=1.0,
            pressure=reference,
            reference_pressure=reference,
            temperature=warmth,
        ),
        cda=case.input("rider.drag_area", rider=rider),
        air_density=air.density(warmth, humidity=ASSUMPTIONS["road.humidity"].value),
        wind=case.input("road.wind", route=route),
        factor=case["road.model"],
    )


def totals(case: Case, rider: str, route: str) -> Totals:
    """Ride a route once with every row and every active column."""
    with case.recording() as used:
        tables, table_columns = case.shared(bench, rider, False)
        here = case.shared(road, rider, route)
    case.note(used)
    columns = case.active_columns(used)
    parts = [case.by_row(part)[:, columns] for part in here]
    height = len(table_columns)
    base = np.searchsorted(table_columns, columns)
    base = np.where(np.isin(columns, table_columns), base, 0)
    table = (np.arange(len(case.rows))[:, None] * height + base[None, :]).ravel()
    sane = np.isfinite(tables.force).all(axis=1)[table]
    for part in parts:
        sane &= np.isfinite(part).ravel()
    whole = sane.reshape(len(case.rows), -1).all(axis=1)
    keep = np.repeat(whole, len(columns))
    ridden = fast.ride(
        tables._replace(table=table[keep]),
        fast.Road(*(part.ravel()[keep] for part in parts)),
        case.shared(grid, route),
    )
    return Totals(*(_expand(part, whole, columns, case) for part in ridden))


def _expand(flat: Array, whole: Array, columns: Array, case: Case) -> Array:
    """Put active columns back among all; those that nothing moved are nominal."""
    full = np.full((len(case.rows), case.columns), np.nan)
    block = flat.reshape(-1, len(columns))
    full[whole] = block[:, :1]
    index = np.ix_(np.flatnonzero(whole), columns)
    full[index] = block
    return full


def steady_grades(case: Case, rider: str, hill: bool) -> Array:
    """Grade on which each row is in balance at each speed, without wind; shape (rows, columns, speeds)."""
    with case.recording() as used:
        tables, table_columns = case.shared(bench, rider, hill)
        here = case.shared(road, rider, case.route.id)
    case.note(used)
    here = here._replace(wind=np.zeros_like(here.wind))
    base = np.searchsorted(table_columns, np.arange(case.columns))
    base = np.where(np.isin(np.arange(case.columns), table_columns), np.minimum(base, len(table_columns) - 1), 0)
    force = tables.force.reshape(len(case.rows), len(table_columns), -1)[:, base]
    flat = fast.Road(*(case.by_row(part).ravel() for part in here))
    found = fast.grade_at_speed(force.reshape(-1, len(SPEEDS)), SPEEDS, road=flat)
    return found.reshape(force.shape)
