"""Shared intermediate results: every bike at every level on every route."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import air, coefficients
from generator.compute import range as fast
from generator.compute.course import Course, course
from generator.content.model import Route
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.inputs.case import Case
from generator.figures.simulation.arrays import Places, places_of
from generator.figures.simulation.drives import bench

Array = NDArray[np.float64]


class Totals(NamedTuple):
    """One ride of a route; arrays of shape (rows, columns), NaN for bikes that lack an input.

    What rider and motor do is added up for the default rider on the default route alone; else both are NaN.
    """

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
    return course_of(case.routes[route])


def course_of(path: Route) -> Course:
    """The same of a route that need not be the publication's."""
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
    return case.shared(still_road, rider, route)._replace(wind=case.input("road.wind", route=route))


def still_road(case: Case, rider: str, route: str) -> fast.Road:
    """The same without wind."""
    mass = (
        case["bike.mass"]
        + case.input("rider.mass", rider=rider)
        + case.input("rider.load", rider=rider)
    )
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
        wind=np.zeros_like(mass),
        factor=case["road.model"],
    )


def totals(case: Case, rider: str, route: str) -> Totals:
    """Ride a route once with every ridden row and every active column."""
    # Compiled code: loading what runs it takes a while.
    from generator.compute import range_lanes

    with case.recording() as used:
        tables, rows, table_columns = case.shared(bench, rider, False)
        here = case.shared(road, rider, route)
    case.note(used)
    columns = case.active_columns(used)
    bikes = case.row_bike[rows]
    parts = [part[bikes][:, columns] for part in here]
    base = places_of(columns, table_columns)
    table = np.arange(len(rows))[:, None] * len(table_columns) + base[None, :]
    whole = np.isfinite(tables.force).all(axis=1).reshape(len(rows), -1).all(axis=1)
    moved = case.shared(_moved, rider)[:, base]
    for part in parts:
        whole &= np.isfinite(part).all(axis=1)
        moved |= part != part[:, :1]
    moved[:, 0] = True
    ridden = moved & whole[:, None]
    found = range_lanes.ride(
        tables._replace(table=table[ridden]),
        fast.Road(*(part[ridden] for part in parts)),
        case.shared(grid, route),
        works=(rider, route) == (case.rider.id, case.route.id),
    )
    return Totals(*(_expand(part, ridden, rows, columns, case) for part in found))


def _moved(case: Case, rider: str) -> NDArray[np.bool_]:
    """In which columns a row's table differs from its nominal one; shape (rows, columns of the tables).

    Much leaves a row as it is: what belongs to the motor where it is off, a limit that is never met.
    """
    tables, rows, columns = case.shared(bench, rider, False)
    shape = (len(rows), len(columns), -1)
    found = np.zeros(shape[:2], dtype=bool)
    for each in tables[1:-1]:
        part = each.reshape(shape)
        found |= (part != part[:, :1]).any(axis=-1)
    return found


def _expand(
    flat: Array, ridden: NDArray[np.bool_], rows: Places, columns: Places, case: Case
) -> Array:
    """Put what was ridden back among all rows and columns; columns that nothing moved are nominal."""
    block = np.full(ridden.shape, np.nan)
    block[ridden] = flat
    block = np.where(ridden, block, block[:, :1])
    full = np.full((len(case.rows), case.columns), np.nan)
    full[rows] = block[:, :1]
    full[np.ix_(rows, columns)] = block
    return full
