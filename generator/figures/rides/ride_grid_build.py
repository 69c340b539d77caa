"""Computes the tables of `ride_grid`: every bike ridden at every node, many bikes at a time."""

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from generator.compute import air, coefficients, motor, traction
from generator.compute.range import Road, Tables
from generator.compute.road import STANDARD_GRAVITY
from generator.content.model import Content
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.inputs.case import Case
from generator.figures.kinds.range import compute_usable_energy
from generator.figures.rides import ride_grid
from generator.figures.rides.ride_grid import Array, RideGrid, RideGridAxes
from generator.figures.simulation import drives, rides
from generator.figures.simulation.arrays import map_arrays
from generator.figures.table.parts import group_bikes
from generator.specs.bike import Bike

SPEEDS = np.arange(0.0, 12.61, drives.SPEED_STEP)
"""Speeds of the traction tables, up to the speed not passed downhill. [m/s]"""


def compute_ride_grids(bikes: Sequence[Bike], content: Content) -> dict[str, RideGrid]:
    """Tables by slug; a bike that lacks an input has none."""
    return {
        slug: grid for some in group_bikes(bikes) for slug, grid in _compute_group(some, content)
    }


def _compute_group(bikes: Sequence[Bike], content: Content) -> Iterator[tuple[str, RideGrid]]:
    case = Case(bikes, content, spans=False)
    given = ride_grid.make_axes(content)
    rows = np.flatnonzero(case.row_level >= 0)
    need = _compute_need(case, rows, given)
    efforts = ride_grid.EFFORT_RATIO ** np.arange(-ride_grid.SIDE_NODES, ride_grid.SIDE_NODES + 1.0)
    masses = range(len(ride_grid.MASS_NODES))
    ridden = [
        _ride_nodes(case, rows, given, need[:, mass], mass, given.effort * efforts)
        for mass in masses
    ]
    logs = np.stack(ridden, axis=4)
    energy = compute_usable_energy(case, case.route.id)[:, 0]
    for index, bike in enumerate(case.bikes):
        mine = case.row_bike[rows] == index
        if np.isfinite(energy[index]) and np.isfinite(logs[mine]).any():
            yield bike.slug, RideGrid(given, need[mine], logs[mine], float(energy[index]))


def _build_road(
    case: Case, rows: NDArray[np.intp], given: RideGridAxes, mass: int, warmth: int
) -> Road:
    """Road load without wind at a node of mass and a step of warmth; arrays of shape (rows,). From `rides.build_still_road`."""
    rider = max(given.mass * ride_grid.MASS_NODES[mass] - given.load, 1.0)
    degrees = given.warmths[warmth]
    still = rides.build_still_road(case, case.rider.id, case.route.id)
    bikes = case.row_bike[rows]
    flat = Road(*(np.broadcast_to(part, still.mass.shape)[bikes, 0] for part in still))
    heavier = flat.mass + rider + given.load - given.mass
    slope = coefficients.TEMPERATURE_SLOPE
    bigger = coefficients.drag_area(1.0, rider_mass=rider) / coefficients.drag_area(
        1.0, rider_mass=case.rider.mass
    )
    return flat._replace(
        mass=heavier,
        inertia=flat.inertia - flat.mass + heavier,
        crr=flat.crr * math.exp(slope * (degrees - given.warmths[1])),
        cda=flat.cda * bigger,
        air_density=np.full_like(
            heavier, air.density(degrees, humidity=ASSUMPTIONS["road.humidity"].value)
        ),
    )


def _compute_need(case: Case, rows: NDArray[np.intp], given: RideGridAxes) -> Array:
    """Logarithm of the cut-off's demand over that at the defaults; shape (rows, masses)."""
    law = case.compute_once(drives.build_drives, case.rider.id, False).drive.law
    limit = np.minimum(law.speed_limit - 0.5 * law.taper, SPEEDS[-1])[rows, 0]
    course = case.compute_once(rides.get_course, case.route.id)
    surface = float(np.diff(course.distance) @ course.surface) / course.length
    found = np.empty((len(rows), len(ride_grid.MASS_NODES)))
    for mass in range(len(ride_grid.MASS_NODES)):
        road = _build_road(case, rows, given, mass, given.usual[2])
        rolling = road.mass * STANDARD_GRAVITY * road.crr * surface
        found[:, mass] = rolling + 0.5 * road.air_density * road.cda * limit**2
    return np.log(found / found[:, ride_grid.DEFAULT_MASS_NODE, None])


def _build_tables(case: Case, rows: NDArray[np.intp], power: Array, mass: float) -> Tables:
    """Traction tables of every row at efforts `power` [W] of shape (rows, efforts), laid out row by row."""
    engine = case.compute_once(drives.build_drives, case.rider.id, False)

    def take_nominal(part: Array) -> Array:
        return part[rows][:, :1, None]

    pedaller = map_arrays(engine.pedaller, take_nominal)
    pedaller = pedaller._replace(
        power=power[:, :, None], torque_limit=pedaller.torque_limit * (mass / case.rider.mass)
    )
    ratios, around = engine.ratios[rows], engine.circumference[rows][:, :1]
    wanted = 60.0 * case.spread_over_rows(case["rider.cadence"])[rows, 0]
    thresholds = traction.gear_thresholds(ratios * around, wanted)
    gear = traction.gear_in_use(SPEEDS[None, :], thresholds[:, None, :])
    development = (np.take_along_axis(ratios, gear, axis=1) * around)[:, None, :]
    found = traction.traction(
        SPEEDS, development, pedaller=pedaller, drive=map_arrays(engine.drive, take_nominal)
    )
    drag = motor.drag_torque(machine=engine.drive.machine, freewheels=engine.drive.freewheels)
    coast = -(drag / engine.drive.wheel_radius)[rows, 0]
    count = power.shape[1]

    def flatten_rows(array: Array) -> Array:
        return np.ascontiguousarray(array).reshape(-1, len(SPEEDS))

    return Tables(
        speed_step=drives.SPEED_STEP,
        force=flatten_rows(found.rider_force + found.motor_force),
        coast_force=np.repeat(coast, count),
        rider_power=flatten_rows(found.rider_power),
        battery_power=flatten_rows(found.battery_power),
        standby=np.repeat(engine.drive.standby[rows, 0], count),
        motor_force=flatten_rows(found.motor_force),
        table=np.arange(len(rows) * count),
    )


def _ride_nodes(
    case: Case, rows: NDArray[np.intp], given: RideGridAxes, need: Array, mass: int, efforts: Array
) -> Array:
    """Logarithms of consumption and slowness at one node of mass; shape (rows, hills, winds, warmths, efforts, 2)."""
    # Imported here because loading compiled code takes a while.
    from generator.compute import range_lanes

    rider = max(given.mass * ride_grid.MASS_NODES[mass] - given.load, 1.0)
    tables = _build_tables(case, rows, efforts * np.exp(need)[:, None], rider)
    steps = (len(given.hills), len(given.winds), len(given.warmths))
    found = np.empty((len(rows), *steps, len(efforts), 2))
    courses = [
        rides.build_course(
            replace(case.route, elevation=tuple(height * each for each in case.route.elevation))
        )
        for height in given.hills
    ]
    for warmth in range(len(given.warmths)):
        flat = _build_road(case, rows, given, mass, warmth)
        still = Road(*(np.repeat(part, len(efforts)) for part in flat))
        whole = np.isfinite(tables.force).all(axis=1) & np.isfinite(np.stack(still)).all(axis=0)
        ready = tables._replace(table=tables.table[whole])
        held = Road(*(part[whole] for part in still))
        for (hill, course), (wind, speed) in itertools.product(
            enumerate(courses), enumerate(given.winds)
        ):
            blown = held._replace(wind=np.full_like(held.mass, speed))
            ride = range_lanes.ride(ready, blown, course, precision=np.float32, works=False)
            sums = np.stack([ride.battery_energy, ride.time], axis=1)
            logs = np.full((len(tables.table), 2), np.nan)
            logs[whole] = np.where(ride.pushed[:, None] > 0.0, np.nan, np.log(sums / course.length))
            found[:, hill, wind, warmth] = logs.reshape(len(rows), len(efforts), 2)
    found[..., 0] -= need[:, None, None, None, None]
    return found
