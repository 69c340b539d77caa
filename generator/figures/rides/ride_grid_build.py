"""How the tables of `ride_grid` are made: every bike ridden at every node, many bikes at a time."""

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
from generator.figures.kinds.range import usable
from generator.figures.rides import ride_grid
from generator.figures.rides.ride_grid import Array, Axes, RideGrid
from generator.figures.simulation import drives, rides
from generator.figures.simulation.arrays import each_array
from generator.figures.table.parts import groups
from generator.specs.bike import Bike

SPEEDS = np.arange(0.0, 12.61, drives.SPEED_STEP)
"""Of the tables of traction, up to the speed that nobody passes downhill. [m/s]"""


def grids(bikes: Sequence[Bike], content: Content) -> dict[str, RideGrid]:
    """Tables by slug; a bike that lacks an input has none."""
    return {slug: grid for some in groups(bikes) if some for slug, grid in _together(some, content)}


def _together(bikes: Sequence[Bike], content: Content) -> Iterator[tuple[str, RideGrid]]:
    case = Case(bikes, content, spans=False)
    given = ride_grid.axes(content)
    rows = np.flatnonzero(case.row_level >= 0)
    need = _need(case, rows, given)
    efforts = ride_grid.STEP ** np.arange(-ride_grid.SIDE, ride_grid.SIDE + 1.0)
    masses = range(len(ride_grid.MASSES))
    ridden = [
        _ridden(case, rows, given, need[:, mass], mass, given.effort * efforts) for mass in masses
    ]
    logs = np.stack(ridden, axis=4)
    energy = usable(case, case.route.id)[:, 0]
    for index, bike in enumerate(case.bikes):
        mine = case.row_bike[rows] == index
        if np.isfinite(energy[index]) and np.isfinite(logs[mine]).any():
            yield bike.slug, RideGrid(given, need[mine], logs[mine], float(energy[index]))


def _road(case: Case, rows: NDArray[np.intp], given: Axes, mass: int, warmth: int) -> Road:
    """Road load without wind at a node of mass and a step of warmth; arrays of shape (rows,). As `rides.still_road` has it."""
    rider = max(given.mass * ride_grid.MASSES[mass] - given.load, 1.0)
    degrees = given.warmths[warmth]
    still = rides.still_road(case, case.rider.id, case.route.id)
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


def _need(case: Case, rows: NDArray[np.intp], given: Axes) -> Array:
    """See `RideGrid.need`; shape (rows, masses)."""
    law = case.shared(drives.engine, case.rider.id, False).drive.law
    limit = np.minimum(law.speed_limit - 0.5 * law.taper, SPEEDS[-1])[rows, 0]
    course = case.shared(rides.grid, case.route.id)
    surface = float(np.diff(course.distance) @ course.surface) / course.length
    found = np.empty((len(rows), len(ride_grid.MASSES)))
    for mass in range(len(ride_grid.MASSES)):
        road = _road(case, rows, given, mass, given.usual[2])
        rolling = road.mass * STANDARD_GRAVITY * road.crr * surface
        found[:, mass] = rolling + 0.5 * road.air_density * road.cda * limit**2
    return np.log(found / found[:, ride_grid.MIDDLE, None])


def _tables(case: Case, rows: NDArray[np.intp], power: Array, mass: float) -> Tables:
    """Traction of every row at efforts of shape (rows, efforts), laid out row by row."""
    engine = case.shared(drives.engine, case.rider.id, False)

    def cut(part: Array) -> Array:
        return part[rows][:, :1, None]

    pedaller = each_array(engine.pedaller, cut)
    pedaller = pedaller._replace(
        power=power[:, :, None], torque_limit=pedaller.torque_limit * (mass / case.rider.mass)
    )
    ratios, around = engine.ratios[rows], engine.circumference[rows][:, :1]
    wanted = 60.0 * case.by_row(case["rider.cadence"])[rows, 0]
    thresholds = traction.gear_thresholds(ratios * around, wanted)
    gear = traction.gear_in_use(SPEEDS[None, :], thresholds[:, None, :])
    development = (np.take_along_axis(ratios, gear, axis=1) * around)[:, None, :]
    found = traction.traction(
        SPEEDS, development, pedaller=pedaller, drive=each_array(engine.drive, cut)
    )
    drag = motor.drag_torque(machine=engine.drive.machine, freewheels=engine.drive.freewheels)
    coast = -(drag / engine.drive.wheel_radius)[rows, 0]
    count = power.shape[1]

    def flat(array: Array) -> Array:
        return np.ascontiguousarray(array).reshape(-1, len(SPEEDS))

    return Tables(
        speed_step=drives.SPEED_STEP,
        force=flat(found.rider_force + found.motor_force),
        coast_force=np.repeat(coast, count),
        rider_power=flat(found.rider_power),
        battery_power=flat(found.battery_power),
        standby=np.repeat(engine.drive.standby[rows, 0], count),
        motor_force=flat(found.motor_force),
        table=np.arange(len(rows) * count),
    )


def _ridden(
    case: Case, rows: NDArray[np.intp], given: Axes, need: Array, mass: int, efforts: Array
) -> Array:
    """Logarithms at one node of mass; shape (rows, hills, winds, warmths, efforts, 2)."""
    # Compiled code: loading what runs it takes a while.
    from generator.compute import range_lanes

    rider = max(given.mass * ride_grid.MASSES[mass] - given.load, 1.0)
    tables = _tables(case, rows, efforts * np.exp(need)[:, None], rider)
    steps = (len(given.hills), len(given.winds), len(given.warmths))
    found = np.empty((len(rows), *steps, len(efforts), 2))
    courses = [
        rides.course_of(
            replace(case.route, elevation=tuple(height * each for each in case.route.elevation))
        )
        for height in given.hills
    ]
    for warmth in range(len(given.warmths)):
        flat = _road(case, rows, given, mass, warmth)
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
