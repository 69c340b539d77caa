"""Rides in steps of distance, from tables of traction: the fast way to a range.

All scenarios (bikes × levels × riders × draws) share one grid of distance, so one step serves them all. The state is
kinetic energy. `ride.py` is the slower reference in steps of time; a test holds the two together. SI.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from generator.compute.course import Course
from generator.compute.road import STANDARD_GRAVITY

Array = NDArray[np.float64]

WALK = 0.8
"""Slowest speed; a rider who cannot climb gets off and pushes at it. [m/s]"""
EASE = 0.97
"""The rider stops pedalling above this share of the braking ceiling. [-]"""


class Tables(NamedTuple):
    """Traction on an even grid of speed; shape (tables, nodes). Scenarios may share a table."""

    speed_step: float
    """Between nodes, the first at 0. [m/s]"""
    force: Array
    """Rider and motor together, while pedalling. [N]"""
    coast_force: Array
    """Of an idle motor, ≤ 0; shape (tables,). [N]"""
    rider_power: Array
    """[W]"""
    battery_power: Array
    """Standby included. [W]"""
    standby: Array
    """Shape (tables,). [W]"""
    motor_force: Array
    """[N]"""
    table: NDArray[np.intp]
    """Which table each scenario uses; shape (scenarios,)."""


class Road(NamedTuple):
    """What holds each scenario back; arrays of shape (scenarios,)."""

    mass: Array
    """Bike, rider and load. [kg]"""
    inertia: Array
    """Mass with the wheels' rotation. [kg]"""
    crr: Array
    cda: Array
    """[m²]"""
    air_density: Array
    """[kg/m³]"""
    wind: Array
    """[m/s]"""
    factor: Array
    """On the whole resistance, for the model's own error. [-]"""


class Ride(NamedTuple):
    """Sums over one ride; arrays of shape (scenarios,)."""

    battery_energy: Array
    """[J]"""
    rider_energy: Array
    """At the pedals. [J]"""
    motor_work: Array
    """At the tyre. [J]"""
    time: Array
    """Riding time without waiting at stops. [s]"""
    pushed: Array
    """Distance at walking speed because the bike could not climb. [m]"""


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
    steep that is [1]_. Braking clips E to the ceiling of the course.

    References
    ----------
    .. [1] M. Hochbruck and A. Ostermann, "Exponential integrators," Acta Numerica 19 (2010), 209-286.
    """
    nodes, scenarios = tables.force.shape[1], len(tables.table)
    row = tables.table * nodes
    idle, standby = tables.coast_force[tables.table], tables.standby[tables.table]
    force, motor, rider, battery = (
        np.ascontiguousarray(table).ravel()
        for table in (tables.force, tables.motor_force, tables.rider_power, tables.battery_power)
    )
    per_node = 1.0 / tables.speed_step
    last = nodes - 2
    drag = 0.5 * road.air_density * road.cda * road.factor
    weight = road.mass * STANDARD_GRAVITY
    slope = np.arctan(course.grade)
    sine, cosine, length = np.sin(slope), np.cos(slope), np.diff(course.distance)

    speed = np.full(scenarios, WALK)
    total = {name: np.zeros(scenarios) for name in Ride._fields}
    for cell in range(len(length)):
        step = length[cell]
        ceiling = max(course.ceiling[cell + 1], WALK)
        pedalling = speed < EASE * max(course.ceiling[cell], WALK) + 1e-9
        if course.ceiling[cell + 1] <= 0.0:
            pedalling = np.zeros(scenarios, dtype=bool)

        place = speed * per_node
        node = np.minimum(place.astype(np.intp), last)
        at = row + node
        low, high = force[at], force[at + 1]
        push = np.where(pedalling, low + (high - low) * (place - node), idle)
        push_slope = np.where(pedalling, (high - low) * per_node, 0.0)
        air = speed + road.wind * course.headwind[cell]
        rolling = weight * (sine[cell] + cosine[cell] * road.crr * course.surface[cell])
        gradient = 2.0 * drag * np.abs(air)
        net = push - drag * air * np.abs(air) - np.where(rolling > 0, road.factor, 1.0) * rolling
        bend = np.clip((push_slope - gradient) / (road.inertia * speed) * step, -50.0, 1.0)
        bend = np.where(np.abs(bend) < 1e-8, 1e-8, bend)
        energy = 0.5 * road.inertia * speed**2 + step * net * np.expm1(bend) / bend
        floor = energy < 0.5 * road.inertia * WALK**2
        new = np.sqrt(2.0 * np.maximum(energy, 0.0) / road.inertia)
        new = np.clip(new, WALK, ceiling)

        mean = 0.5 * (speed + new)
        duration = step / mean
        place = mean * per_node
        node = np.minimum(place.astype(np.intp), last)
        at = row + node
        part = place - node
        work = np.where(pedalling, duration, 0.0)
        total["battery_energy"] += work * (battery[at] + (battery[at + 1] - battery[at]) * part)
        total["battery_energy"] += (duration - work) * standby
        total["rider_energy"] += work * (rider[at] + (rider[at + 1] - rider[at]) * part)
        total["motor_work"] += (
            np.where(pedalling, step, 0.0) * (motor[at] + (motor[at + 1] - motor[at]) * part)
        )
        total["time"] += duration
        total["pushed"] += np.where(floor & (ceiling > WALK), step, 0.0)
        speed = new
    return Ride(**total)


def grade_at_speed(force: Array, speed: ArrayLike, *, road: Road) -> Array:
    """Return the grade on which each node's force is just enough; shape (scenarios, nodes). [-]

    Solves m g (sin θ + Crr cos θ) = F − aero in closed form: with c = (F − aero)/(m g) and β = arctan Crr,
    θ = arcsin(c cos β) − β. Steeper than vertical gives the vertical.
    """
    speed = np.asarray(speed, dtype=float)

    def column(part: Array) -> Array:
        return np.asarray(part)[:, None]

    air = speed + column(road.wind)
    aero = 0.5 * column(road.air_density * road.cda) * air * np.abs(air)
    left = (force / column(road.factor) - aero) / column(road.mass * STANDARD_GRAVITY)
    angle = np.arctan(column(road.crr))
    return np.tan(np.arcsin(np.clip(left * np.cos(angle), -0.99, 0.99)) - angle)


def steady_speed(grades: Array, speed: Array, grade: ArrayLike) -> Array:
    """Return the highest speed that each scenario holds on a grade; shape (scenarios, …). [m/s]

    Parameters
    ----------
    grades : array, shape (scenarios, nodes)
        From `grade_at_speed`.
    speed : array, shape (nodes,)
        [m/s]
    grade : float or array, shape (g,)
        [-]

    Returns
    -------
    array, shape (scenarios, g)
        NaN where no speed is held.
    """
    grade = np.atleast_1d(np.asarray(grade, dtype=float))
    able = grades[:, None, :] >= grade[None, :, None]
    top = able.shape[-1] - 1 - np.argmax(able[..., ::-1], axis=-1)
    held = able.any(axis=-1)
    nxt = np.minimum(top + 1, able.shape[-1] - 1)
    rows = np.arange(grades.shape[0])[:, None]
    here, there = grades[rows, top], grades[rows, nxt]
    gap = np.where(here - there > 1e-12, here - there, 1.0)
    part = np.clip((here - grade) / gap, 0.0, 1.0)
    return np.where(held, speed[top] + part * (speed[nxt] - speed[top]), np.nan)
