"""Rides in steps of distance, from tables of traction: the fast way to a range.

All scenarios (bikes × levels × riders × draws) share one grid of distance, so one step serves them all. The state is
kinetic energy. `ride.py` is the slower reference in steps of time; a test holds the two together. SI.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from generator.compute.course import Course
from generator.compute.road import STANDARD_GRAVITY

Array = NDArray[np.float64]

WALK = 0.8
"""Lowest speed, at which a rider who cannot climb gets off and pushes. [m/s]"""
EASE = 0.97
"""The rider stops pedalling above this share of the braking ceiling. [-]"""


KINK = 0.1
"""Change of the traction's bend within a step above which the step is taken in parts. [-]"""
SUBSTEPS = 4
"""Parts of such a step. [-]"""


class Tables(NamedTuple):
    """Traction on an even grid of speed; shape (tables, nodes). Scenarios may share a table."""

    speed_step: float
    """Speed between nodes, the first of which is at 0. [m/s]"""
    force: Array
    """Force of rider and motor together at the tyre, while pedalling. [N]"""
    coast_force: Array
    """Force of an idle motor at the tyre, ≤ 0; shape (tables,). [N]"""
    rider_power: Array
    """Power at the pedals. [W]"""
    battery_power: Array
    """Power from the battery, standby included. [W]"""
    standby: Array
    """Power of display, lights and controller; shape (tables,). [W]"""
    motor_force: Array
    """Motor's force at the tyre. [N]"""
    table: NDArray[np.intp]
    """Index of the table that each scenario uses; shape (scenarios,)."""


class Road(NamedTuple):
    """Parameters of the road load; arrays of shape (scenarios,)."""

    mass: Array
    """Mass of bike, rider and load. [kg]"""
    inertia: Array
    """Mass to accelerate, turning wheels included. [kg]"""
    crr: Array
    cda: Array
    """[m²]"""
    air_density: Array
    """[kg/m³]"""
    wind: Array
    """Wind at rider height. [m/s]"""
    factor: Array
    """Factor on the whole resistance, for the model's own error. [-]"""


class Ride(NamedTuple):
    """Sums over one ride; arrays of shape (scenarios,)."""

    battery_energy: Array
    """Energy from the battery. [J]"""
    rider_energy: Array
    """Work at the pedals. [J]"""
    motor_work: Array
    """Motor's work at the tyre. [J]"""
    time: Array
    """Riding time without waiting at stops. [s]"""
    pushed: Array
    """Distance pushed at walking speed where the bike could not climb. [m]"""


class _CourseCell(NamedTuple):
    """One cell of the course, the same for all scenarios."""

    sine: float
    cosine: float
    surface: float
    headwind: float
    pedalled: bool
    start_ceiling: float
    end_ceiling: float


class _StepScenarios(NamedTuple):
    """Parameters of each scenario in a step; arrays of shape (scenarios,)."""

    row: NDArray[np.intp]
    """Row at which the scenario's table begins."""
    idle: Array
    inertia: Array
    weight: Array
    rolling: Array
    drag: Array
    wind: Array
    factor: Array

    def take(self, index: NDArray[np.intp]) -> "_StepScenarios":
        return _StepScenarios(*[part[index] for part in self])  # type: ignore[arg-type]  # mypy widens the mix


def ride(tables: Tables, road: Road, course: Course) -> Ride:
    """Ride a course once with every scenario.

    Parameters
    ----------
    tables : Tables
    road : Road
    course : Course

    Returns
    -------
    Ride

    Notes
    -----
    Each step solves dE/ds = F(v) − R(v) with the exponential Rosenbrock-Euler rule, E₁ = E₀ + Δs f φ₁(J Δs) with
    φ₁(z) = (eᶻ − 1)/z, which is of second order and does not ring where the motor lets go at a speed limit, however
    steep that is [1]_. The mean energy of the step, E₀ + Δs f φ₂(J Δs) with φ₂(z) = (eᶻ − 1 − z)/z², gives the speed at
    which powers are read. Scenarios whose energy doubles or halves in a step, or that cross a kink of their traction, take
    it again in `SUBSTEPS` parts. Braking clips E to the ceiling of the course.

    References
    ----------
    .. [1] M. Hochbruck and A. Ostermann, "Exponential integrators," Acta Numerica 19 (2010), 209-286.
    """
    nodes = tables.force.shape[1]
    powers = np.stack([tables.battery_power, tables.rider_power, tables.motor_force], axis=-1)
    powers = powers.reshape(-1, 3)
    force = np.ascontiguousarray(tables.force).ravel()
    standby = tables.standby[tables.table]
    weight = road.mass * STANDARD_GRAVITY
    side = _StepScenarios(
        row=tables.table * nodes,
        idle=tables.coast_force[tables.table],
        inertia=road.inertia,
        weight=weight,
        rolling=weight * road.crr,
        drag=0.5 * road.air_density * road.cda * road.factor,
        wind=road.wind,
        factor=road.factor,
    )
    scale, last = 1.0 / tables.speed_step, nodes - 2
    slope = np.arctan(course.grade)
    length = np.diff(course.distance)
    speed = np.full(len(standby), WALK)
    sums = np.zeros((len(standby), 3))
    time, pushed = np.zeros_like(speed), np.zeros_like(speed)

    def advance(
        side: _StepScenarios, speed: Array, cell: _CourseCell, step: float
    ) -> tuple[Any, ...]:
        """One step: new speed, mean speed, pedalling, and how far the bend of the traction changed."""
        place = speed * scale
        node = np.minimum(place.astype(np.intp), last)
        at = side.row + node
        low = force[at]
        rise = force[at + 1] - low
        pedalling = speed < EASE * cell.start_ceiling
        pedalling &= cell.pedalled
        push = np.where(pedalling, low + rise * (place - node), side.idle)
        air = speed + side.wind * cell.headwind
        hold = side.weight * cell.sine + side.rolling * (cell.cosine * cell.surface)
        hold = np.where(hold > 0.0, side.factor * hold, hold)
        net = push - side.drag * air * np.abs(air) - hold
        bend = (
            (rise * pedalling * scale - 2.0 * side.drag * np.abs(air))
            / (side.inertia * speed)
            * step
        )
        bend = np.clip(bend, -60.0, 1.0)
        level = bend == 0.0
        first = np.where(level, 1.0, np.expm1(bend) / np.where(level, 1.0, bend))
        small = np.abs(bend) < 0.01
        second = np.where(small, _second(bend), (first - 1.0) / np.where(small, 1.0, bend))
        before = 0.5 * side.inertia * speed**2
        after = before + step * net * first
        middle = before + step * net * second
        new = np.sqrt(np.maximum(2.0 * after / side.inertia, 0.0))
        clipped = np.clip(new, WALK, cell.end_ceiling)
        root = np.sqrt(np.maximum(2.0 * middle / side.inertia, WALK**2))
        jensen = 0.5 * (speed + clipped) / np.sqrt(0.5 * (speed**2 + clipped**2))
        mean = np.where(new == clipped, root * jensen, 0.5 * (speed + clipped))
        ahead = side.row + np.minimum((clipped * scale).astype(np.intp), last)
        change = (force[ahead + 1] - force[ahead]) / clipped - rise / speed
        kink = np.abs(change) * pedalling * (scale * step) / side.inertia
        rough = (kink > KINK) | (after < 0.5 * before) | (after > 2.0 * before)
        return clipped, mean, pedalling, rough & (new < cell.end_ceiling), new <= WALK

    def enter(
        index: NDArray[np.intp] | slice,
        side: _StepScenarios,
        mean: Array,
        pedalling: Array,
        low: Array,
        step: float,
    ):
        """Add the energies and times of a step to the sums."""
        duration = step / mean
        place = mean * scale
        node = np.minimum(place.astype(np.intp), last)
        at = side.row + node
        here = powers[at]
        read = here + (powers[at + 1] - here) * (place - node)[:, None]
        work = np.where(pedalling, duration, 0.0)
        sums[index, 0] += work * read[:, 0] + (duration - work) * standby[index]
        sums[index, 1] += work * read[:, 1]
        sums[index, 2] += np.where(pedalling, step, 0.0) * read[:, 2]
        time[index] += duration
        pushed[index] += np.where(low, step, 0.0)

    for number in range(len(length)):
        step = float(length[number])
        ends = course.ceiling[number + 1]
        cell = _CourseCell(
            sine=float(np.sin(slope[number])),
            cosine=float(np.cos(slope[number])),
            surface=float(course.surface[number]),
            headwind=float(course.headwind[number]),
            pedalled=bool(ends > 0.0),
            start_ceiling=max(float(course.ceiling[number]), WALK / EASE + 1e-6),
            end_ceiling=max(float(ends), WALK),
        )
        new, mean, pedalling, rough, low = advance(side, speed, cell, step)
        again = np.flatnonzero(rough)
        if len(again) == 0:
            enter(slice(None), side, mean, pedalling, low, step)
        else:
            smooth = np.flatnonzero(np.logical_not(rough))
            enter(smooth, side.take(smooth), mean[smooth], pedalling[smooth], low[smooth], step)
            part, at_part = side.take(again), speed[again]
            for _ in range(SUBSTEPS):
                at_part, mean, pedalling, _, low = advance(part, at_part, cell, step / SUBSTEPS)
                enter(again, part, mean, pedalling, low, step / SUBSTEPS)
            new[again] = at_part
        speed = new
    return Ride(sums[:, 0], sums[:, 1], sums[:, 2], time, pushed)


def _second(bend: Array) -> Array:
    """φ₂(z) by its series, where (φ₁(z) − 1)/z would lose precision."""
    return 1 / 2 + bend * (1 / 6 + bend * (1 / 24 + bend * (1 / 120 + bend / 720)))


def _balance_angle(force: Array, speed: ArrayLike, road: Road) -> tuple[Array, Array]:
    """Return sin(θ + β) where force and resistance are in balance, shape (scenarios, nodes), and β, (scenarios, 1).

    m g (sin θ + Crr cos θ) = F − aero is sin(θ + β) = (F − aero)/(m g) cos β with β = arctan Crr.
    """
    speed = np.asarray(speed, dtype=float)

    def column(part: Array) -> Array:
        return np.asarray(part)[:, None]

    air = speed + column(road.wind)
    aero = 0.5 * column(road.air_density * road.cda) * air * np.abs(air)
    left = (force / column(road.factor) - aero) / column(road.mass * STANDARD_GRAVITY)
    angle = np.arctan(column(road.crr))
    return np.clip(left * np.cos(angle), -0.99, 0.99), angle


def grade_at_speed(force: Array, speed: ArrayLike, *, road: Road) -> Array:
    """Return the grade on which each node's force is just enough; shape (scenarios, nodes). [-]

    Parameters
    ----------
    force : array, shape (scenarios, nodes)
        At the tyre. [N]
    speed : array, shape (nodes,)
        [m/s]
    road : Road

    Notes
    -----
    In closed form: θ = arcsin(sin(θ + β)) − β. Steeper than vertical gives the vertical.
    """
    sine, angle = _balance_angle(force, speed, road)
    return np.tan(np.arcsin(sine) - angle)


def steady_speed(force: Array, speed: Array, grade: ArrayLike, *, road: Road) -> Array:
    """Return the highest speed that each scenario holds on a grade. [m/s]

    Parameters
    ----------
    force : array, shape (scenarios, nodes)
        At the tyre. [N]
    speed : array, shape (nodes,)
        [m/s]
    grade : float or array, shape (g,)
        [-]
    road : Road

    Returns
    -------
    array, shape (scenarios, g)
        NaN where no speed is held.
    """
    grade = np.atleast_1d(np.asarray(grade, dtype=float))
    sine, angle = _balance_angle(force, speed, road)
    wanted = np.sin(np.arctan(grade) + angle)
    able = np.ascontiguousarray(sine[:, ::-1])[:, None, :] >= wanted[:, :, None]
    first = np.argmax(able, axis=-1)  # from the highest speed down
    held = np.take_along_axis(able, first[..., None], axis=-1)[..., 0]
    top = len(speed) - 1 - first
    nxt = np.minimum(top + 1, len(speed) - 1)
    here, there = (
        np.tan(np.arcsin(np.take_along_axis(sine, node, axis=1)) - angle) for node in (top, nxt)
    )
    gap = np.where(here - there > 1e-12, here - there, 1.0)
    part = np.clip((here - grade) / gap, 0.0, 1.0)
    return np.where(held, speed[top] + part * (speed[nxt] - speed[top]), np.nan)
