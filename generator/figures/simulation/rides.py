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
from generator.figures.simulation.arrays import Indices, find_places
from generator.figures.simulation.drives import build_traction_tables

Array = NDArray[np.float64]


class RideTotals(NamedTuple):
    """Sums over one ride of a route; arrays of shape (rows, columns), NaN for bikes that lack an input.

    Rider energy and motor work are summed only for the default rider on the default route; otherwise they are NaN.
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
    """Distance over which the bike is pushed on foot. [m]"""


def get_course(case: Case, route: str) -> Course:
    """A route of the publication as a course in steps of distance."""
    return build_course(case.routes[route])


def build_course(path: Route) -> Course:
    """A route as a course in steps of distance."""
    surface = [coefficients.SURFACE[name].default for name in path.surface]
    return course(
        path.distance,
        path.elevation,
        surface=surface,
        stops=path.stops,
        braking=ASSUMPTIONS["road.braking"].value,
        top_speed=ASSUMPTIONS["road.top_speed"].value,
    )


def build_road(case: Case, rider: str, route: str) -> fast.Road:
    """Mass and resistance of each bike on a route; arrays of shape (bikes, columns)."""
    return case.compute_once(build_still_road, rider, route)._replace(
        wind=case.get_input("road.wind", route=route)
    )


def build_still_road(case: Case, rider: str, route: str) -> fast.Road:
    """Mass and resistance of each bike on a route without wind; arrays of shape (bikes, columns)."""
    mass = (
        case["bike.mass"]
        + case.get_input("rider.mass", rider=rider)
        + case.get_input("rider.load", rider=rider)
    )
    warmth = case.get_input("road.temperature", route=route)
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
        cda=case.get_input("rider.drag_area", rider=rider),
        air_density=air.density(warmth, humidity=ASSUMPTIONS["road.humidity"].value),
        wind=np.zeros_like(mass),
        factor=case["road.model"],
    )


def ride_route(case: Case, rider: str, route: str) -> RideTotals:
    """Ride a route once with every ridden row and every active column."""
    # Imported here because loading compiled code takes a while.
    from generator.compute import range_lanes

    with case.collect_uses() as used:
        tables, rows, table_columns = case.compute_once(build_traction_tables, rider, False)
        here = case.compute_once(build_road, rider, route)
    case.record_uses(used)
    columns = case.find_active_columns(used)
    bikes = case.row_bike[rows]
    parts = [part[bikes][:, columns] for part in here]
    base = find_places(columns, table_columns)
    table = np.arange(len(rows))[:, None] * len(table_columns) + base[None, :]
    whole = np.isfinite(tables.force).all(axis=1).reshape(len(rows), -1).all(axis=1)
    moved = case.compute_once(_find_changed_columns, rider)[:, base]
    for part in parts:
        whole &= np.isfinite(part).all(axis=1)
        moved |= part != part[:, :1]
    moved[:, 0] = True
    ridden = moved & whole[:, None]
    found = range_lanes.ride(
        tables._replace(table=table[ridden]),
        fast.Road(*(part[ridden] for part in parts)),
        case.compute_once(get_course, route),
        works=(rider, route) == (case.rider.id, case.route.id),
    )
    return RideTotals(*(_expand_columns(part, ridden, rows, columns, case) for part in found))


def _find_changed_columns(case: Case, rider: str) -> NDArray[np.bool_]:
    """Whether a row's table differs from its nominal one; shape (rows, columns of the tables).

    Many inputs change nothing in a row: those of the motor where it is off, a limit that is never reached.
    """
    tables, rows, columns = case.compute_once(build_traction_tables, rider, False)
    shape = (len(rows), len(columns), -1)
    found = np.zeros(shape[:2], dtype=bool)
    for each in tables[1:-1]:
        part = each.reshape(shape)
        found |= (part != part[:, :1]).any(axis=-1)
    return found


def _expand_columns(
    flat: Array, ridden: NDArray[np.bool_], rows: Indices, columns: Indices, case: Case
) -> Array:
    """Spread the ridden values over all rows and columns; unchanged columns are nominal."""
    block = np.full(ridden.shape, np.nan)
    block[ridden] = flat
    block = np.where(ridden, block, block[:, :1])
    full = np.full((len(case.rows), case.columns), np.nan)
    full[rows] = block[:, :1]
    full[np.ix_(rows, columns)] = block
    return full
