"""The ride of `range.py` for many scenarios, side by side in compiled code.

The same scheme as `range.ride`, which stays the reference that this one is tested against. Scenarios move in step through
the course, so that a processor works on several at once; those that need a cell in parts are taken aside for it. In
double precision for the figures; in single precision, somewhat faster, for tables of very many rides. Arithmetic is as it
is written: allowed to round a product and a sum together or to estimate a root, processors would differ in the last digit.
"""

import math

import numpy as np
from numpy.typing import DTypeLike

from generator.compute.compiled import compiled
from generator.compute.course import Course
from generator.compute.range import EASE, KINK, SUBSTEPS, WALK, Ride, Road, Tables
from generator.compute.road import STANDARD_GRAVITY

LANES = 384
"""Scenarios that move together: few enough for a near cache, and so many that filling up costs little."""
WIDE = 16
"""Any number of them is filled up to a multiple of this: fewer would be taken one by one, which takes as long."""
# Where the rows of a block of scenarios begin: what changes on the way, the sums last …
ROWS, SUMS = 17, 5
V, LOW, HIGH, PART, NEW, MEAN, ROUGH, PEDAL, AHEAD, AHEAD_HIGH, AHEAD_PART, STEP_TIME, *_SUMS = (
    range(0, ROWS * LANES, LANES)
)
PUSHED, TIME, ENERGY, RIDER, MOTOR = _SUMS
# … and what does not. As constants they tell the compiler that rows do not overlap.
FIXED = 8
IDLE, LIGHT, WEIGHT, ROLLING, BREEZE, EXCESS, DRAG, REST = range(0, FIXED * LANES, LANES)


@compiled
def _first(z, real):
    """φ₁(z) = (eᶻ − 1)/z for −60 ≤ z ≤ 1, by a series at z/64 and six doublings: φ₁(2y) = φ₁(y)(eʸ + 1)/2."""
    half, one = real(0.5), real(1.0)
    y = z * real(1 / 64)
    tail = real(1 / 3628800) + y * (real(1 / 39916800) + y * real(1 / 479001600))
    tail = real(1 / 5040) + y * (real(1 / 40320) + y * (real(1 / 362880) + y * tail))
    tail = real(1 / 24) + y * (real(1 / 120) + y * (real(1 / 720) + y * tail))
    found = one + y * (half + y * (real(1 / 6) + y * tail))
    grown = one + y * found
    for _ in range(6):
        found = found * (grown + one) * half
        grown = grown * grown
    return found


@compiled
def _find(moving, at, count, scale, last, begins, node, into):
    """Where the speeds in one row stand in each scenario's table: its node below them, and how far they are beyond it."""
    real = moving.dtype.type
    for i in range(count):
        place = moving[at + i] * scale
        below = min(max(np.int32(place), np.int32(0)), last)
        moving[into + i] = place - real(below)
        node[i] = np.uint32(begins[i] + below)


@compiled
def _look(table, node, count, moving, low, high):
    """What tables have at the nodes and right after them. A loop of its own: all others do many scenarios at once."""
    for i in range(count):
        moving[low + i] = table[node[i]]
        moving[high + i] = table[node[i] + np.uint32(1)]


@compiled
def _advance(moving, fixed, count, step, sine, roll, headwind, pedal_below, end, scale):
    """One step of every scenario; see `range.ride`. Its kink is checked by `_check`."""
    real = moving.dtype.type
    zero, half, one, two, walk = real(0.0), real(0.5), real(1.0), real(2.0), real(WALK)
    for i in range(count):
        speed, light, drag = moving[V + i], fixed[LIGHT + i], fixed[DRAG + i]
        pedal = one if speed < pedal_below else zero
        low = moving[LOW + i]
        rise = moving[HIGH + i] - low
        push = pedal * (low + rise * moving[PART + i]) + (one - pedal) * fixed[IDLE + i]
        air = speed + fixed[BREEZE + i] * headwind
        hold = fixed[WEIGHT + i] * sine + fixed[ROLLING + i] * roll
        hold = hold + max(hold, zero) * fixed[EXCESS + i]
        net = push - drag * air * abs(air) - hold
        bend = (pedal * rise * scale - two * drag * abs(air)) * (light * step) / speed
        bend = min(max(bend, real(-60.0)), one)
        first = _first(bend, real)
        small = abs(bend) < real(0.01)
        series = real(1 / 24) + bend * (real(1 / 120) + bend * real(1 / 720))
        series = half + bend * (real(1 / 6) + bend * series)
        second = series if small else (first - one) / (one if small else bend)
        before = speed * speed
        gain = two * step * net * light
        after = before + gain * first
        new = math.sqrt(max(after, zero))
        clipped = min(max(new, walk), end)
        middle = half * (speed + clipped)
        mean = max(before + gain * second, walk * walk)
        bowed = middle * math.sqrt(mean / (half * (before + clipped * clipped)))
        moving[MEAN + i] = bowed if new == clipped else middle
        moving[NEW + i] = clipped
        moving[PEDAL + i] = pedal
        leap = after < half * before or after > two * before
        moving[ROUGH + i] = (one if leap else zero) if new < end else real(-1.0)
        moving[PUSHED + i] += step if new <= walk else zero


@compiled
def _check(moving, fixed, count, stretch):
    """Say 1 of the scenarios that must take the step in parts, 0 of the others."""
    real = moving.dtype.type
    zero, one, gentle = real(0.0), real(1.0), real(KINK)
    for i in range(count):
        here, there = moving[V + i], moving[NEW + i]
        rise, rise_there = (
            moving[HIGH + i] - moving[LOW + i],
            moving[AHEAD_HIGH + i] - moving[AHEAD + i],
        )
        change = rise_there * here - rise * there
        kink = abs(change) * moving[PEDAL + i] * stretch * fixed[LIGHT + i]
        bent = one if kink > gentle * here * there else zero
        said = moving[ROUGH + i]
        moving[ROUGH + i] = max(said, bent) if said >= zero else zero


@compiled
def _enter(powers, moving, fixed, count, step, scale, last, begins, node):
    """Add a step to the sums and take the new speed. `powers` are what a pedalled step adds up: battery, rider, motor."""
    real = moving.dtype.type
    _find(moving, MEAN, count, scale, last, begins, node, PART)
    for i in range(count):
        duration = step / moving[MEAN + i]
        moving[STEP_TIME + i] = duration
        moving[TIME + i] += duration
        moving[ENERGY + i] += (real(1.0) - moving[PEDAL + i]) * duration * fixed[REST + i]
        moving[V + i] = moving[NEW + i]
    for k in range(len(powers)):
        power = powers[k]
        _look(power, node, count, moving, LOW, HIGH)
        for i in range(count):
            low = moving[LOW + i]
            read = low + (moving[HIGH + i] - low) * moving[PART + i]
            over = moving[STEP_TIME + i] if k < 2 else step
            moving[ENERGY + k * LANES + i] += moving[PEDAL + i] * over * read


@compiled
def _ride(force, powers, nodes, table, given, scale, length, sine, roll, headwind, ceiling, sums):
    """Fill `sums`, shape (SUMS, scenarios), in the order of the rows from PUSHED on."""
    real = force.dtype.type
    last, ended = np.int32(nodes - 2), ENERGY + len(powers) * LANES
    moving, apart = np.zeros(ROWS * LANES, force.dtype), np.zeros(ROWS * LANES, force.dtype)
    fixed, held = np.zeros(FIXED * LANES, force.dtype), np.zeros(FIXED * LANES, force.dtype)
    begins, starts = np.zeros(LANES, np.int32), np.zeros(LANES, np.int32)
    node = np.zeros(LANES, np.uint32)
    pick = np.zeros(LANES, np.int64)
    for at in range(0, len(table), LANES):
        count = min(LANES, len(table) - at)
        lanes = -(-count // WIDE) * WIDE
        moving[:] = real(0.0)
        for i in range(lanes):  # filled up with the last one
            one = at + min(i, count - 1)
            begins[i] = np.int32(table[one] * nodes)
            moving[V + i] = real(WALK)
            for k in range(FIXED):
                fixed[k * LANES + i] = given[k, one]
        _find(moving, V, lanes, scale, last, begins, node, PART)
        _look(force, node, lanes, moving, LOW, HIGH)
        for cell in range(len(length)):
            step, up, flat, wind = length[cell], sine[cell], roll[cell], headwind[cell]
            end = max(ceiling[cell + 1], real(WALK))
            start = max(ceiling[cell], real(WALK / EASE + 1e-6))
            below = real(EASE) * start if ceiling[cell + 1] > 0.0 else real(-1.0)
            for i in range(lanes):
                apart[PUSHED + i] = moving[PUSHED + i]
            _advance(moving, fixed, lanes, step, up, flat, wind, below, end, scale)
            _find(moving, NEW, lanes, scale, last, begins, node, AHEAD_PART)
            _look(force, node, lanes, moving, AHEAD, AHEAD_HIGH)
            _check(moving, fixed, lanes, scale * step)
            rough = 0
            for i in range(lanes):
                pick[rough] = i
                rough += int(moving[ROUGH + i])
            if rough > 0:
                wide = -(-rough // WIDE) * WIDE
                for j in range(rough, wide):
                    pick[j] = pick[rough - 1]
                for j in range(wide):
                    i = pick[j]
                    starts[j] = begins[i]
                    for k in range(FIXED):
                        held[k * LANES + j] = fixed[k * LANES + i]
                    apart[V + j] = moving[V + i]
                    # What was pushed before this cell; i rises, so it has not been written over.
                    apart[PUSHED + j] = apart[PUSHED + i]
                    for k in range(TIME, ended, LANES):
                        apart[k + j] = moving[k + i]
                part = step / real(SUBSTEPS)
                for _ in range(SUBSTEPS):
                    _find(apart, V, wide, scale, last, starts, node, PART)
                    _look(force, node, wide, apart, LOW, HIGH)
                    _advance(apart, held, wide, part, up, flat, wind, below, end, scale)
                    _enter(powers, apart, held, wide, part, scale, last, starts, node)
                _find(apart, V, wide, scale, last, starts, node, PART)
                _look(force, node, wide, apart, LOW, HIGH)
            _enter(powers, moving, fixed, lanes, step, scale, last, begins, node)
            for i in range(lanes):
                moving[LOW + i] = moving[AHEAD + i]
                moving[HIGH + i] = moving[AHEAD_HIGH + i]
                moving[PART + i] = moving[AHEAD_PART + i]
            for j in range(rough):
                i = pick[j]
                for k in range(V, PART + 1, LANES):
                    moving[k + i] = apart[k + j]
                for k in range(PUSHED, ended, LANES):
                    moving[k + i] = apart[k + j]
        for i in range(count):
            for k in range(SUMS):
                sums[k, at + i] = moving[PUSHED + k * LANES + i]


def ride(
    tables: Tables,
    road: Road,
    course: Course,
    *,
    precision: DTypeLike = np.float64,
    works: bool = True,
) -> Ride:
    """Ride a course once with every scenario; see `range.ride` for scheme, shapes and units.

    Parameters
    ----------
    precision : dtype
        `float32` has seven digits, and the sums some four or five.
    works : bool
        Whether to add up what rider and motor do; both are NaN without.
    """
    weight = road.mass * STANDARD_GRAVITY
    given = np.stack(
        [
            tables.coast_force[tables.table], 1.0 / road.inertia, weight, weight * road.crr, road.wind,
            road.factor - 1.0, 0.5 * road.air_density * road.cda * road.factor, tables.standby[tables.table],
        ]
    ).astype(precision)  # fmt: skip
    force = np.ascontiguousarray(tables.force, precision).ravel()
    drawn = (tables.battery_power, *((tables.rider_power, tables.motor_force) if works else ()))
    powers = tuple(np.ascontiguousarray(each, precision).ravel() for each in drawn)
    slope = np.arctan(course.grade)
    cells = [
        np.asarray(one, precision)
        for one in (
            np.diff(course.distance), np.sin(slope), np.cos(slope) * course.surface, course.headwind, course.ceiling,
        )
    ]  # fmt: skip
    sums = np.empty((SUMS, len(tables.table)), precision)
    nodes, scale = tables.force.shape[1], force.dtype.type(1.0 / tables.speed_step)
    _ride(force, powers, nodes, tables.table, given, scale, *cells, sums)
    if not works:
        sums[3:] = np.nan
    pushed, time, battery, rider, motor = sums.astype(np.float64)
    return Ride(battery, rider, motor, time, pushed)
