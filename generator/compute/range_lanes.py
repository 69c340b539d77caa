"""The ride of `range.py` for very many scenarios: in single precision, side by side, battery energy and time only.

The same scheme as `range.ride`, which stays the reference that this one is tested against. Scenarios move in step through
the course, so that a processor works on several at once; those that need a cell in parts are taken aside for it. Some five
times faster than `range_compiled`.
"""

import math
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute.compiled import compiled
from generator.compute.course import Course
from generator.compute.range import EASE, KINK, SUBSTEPS, WALK, Road, Tables
from generator.compute.range_compiled import Mapper
from generator.compute.road import STANDARD_GRAVITY

Single = np.float32
LANES = 128
"""Scenarios that move together: few enough for the processor's nearest cache."""
WIDE = 32
"""Those taken aside are filled up to a multiple of this, so that where a scenario stands never changes its last digit."""
# Rows of a block of scenarios: what changes on the way …
V, LOW, RISE, NEW, MEAN, ROUGH, PEDAL, ENERGY, TIME, PUSHED, AHEAD, AHEAD_RISE = range(12)
# … and what does not.
IDLE, HEAVY, WEIGHT, ROLLING, BREEZE, EXCESS, DRAG, REST = range(8)


class Ride(NamedTuple):
    """Sums over one ride; arrays of shape (scenarios,)."""

    battery_energy: NDArray[np.float64]
    """[J]"""
    time: NDArray[np.float64]
    """[s]"""
    pushed: NDArray[np.float64]
    """[m]"""


_compiled = partial(compiled, fastmath={"contract", "arcp", "nsz"})
"""Sums may be put together otherwise, but what is not a number stays so."""


@_compiled
def _first(z):
    """φ₁(z) = (eᶻ − 1)/z for −60 ≤ z ≤ 1, by a series at z/16 and four doublings: φ₁(2y) = φ₁(y)(eʸ + 1)/2."""
    half, one = Single(0.5), Single(1.0)
    y = z * Single(0.0625)
    tail = Single(1 / 720) + y * (Single(1 / 5040) + y * Single(1 / 40320))
    tail = Single(1 / 6) + y * (Single(1 / 24) + y * (Single(1 / 120) + y * tail))
    found = one + y * (half + y * tail)
    grown = one + y * found
    for _ in range(4):
        found = found * (grown + one) * half
        grown = grown * grown
    return found


@_compiled
def _read(table, moving, at, count, scale, last, begins, into):
    """Values and rises of each scenario's table at the speeds in one row, into two others."""
    for i in range(count):
        place = moving[at, i] * scale
        node = min(int(place), last)
        low = table[begins[i] + node]
        rise = table[begins[i] + node + 1] - low
        moving[into, i] = low + rise * (place - Single(node))
        moving[into + 1, i] = rise


@_compiled
def _advance(moving, fixed, count, step, sine, roll, headwind, pedal_below, end, scale):
    """One step of every scenario; see `range.ride`. Its kink is checked by `_check`."""
    zero, half, one, two, walk = Single(0.0), Single(0.5), Single(1.0), Single(2.0), Single(WALK)
    for i in range(count):
        speed, heavy, drag = moving[V, i], fixed[HEAVY, i], fixed[DRAG, i]
        pedal = one if speed < pedal_below else zero
        push = pedal * moving[LOW, i] + (one - pedal) * fixed[IDLE, i]
        air = speed + fixed[BREEZE, i] * headwind
        hold = fixed[WEIGHT, i] * sine + fixed[ROLLING, i] * roll
        hold = hold + max(hold, zero) * fixed[EXCESS, i]
        net = push - drag * air * abs(air) - hold
        bend = (pedal * moving[RISE, i] * scale - two * drag * abs(air)) / (heavy * speed) * step
        bend = min(max(bend, Single(-60.0)), one)
        first = _first(bend)
        small = abs(bend) < Single(0.01)
        second = half + bend * Single(1 / 6) if small else (first - one) / (one if small else bend)
        before = speed * speed
        gain = two * step * net / heavy
        after = before + gain * first
        new = math.sqrt(max(after, zero))
        clipped = min(max(new, walk), end)
        middle = half * (speed + clipped)
        root = math.sqrt(max(before + gain * second, walk * walk))
        bowed = root * middle / math.sqrt(half * (before + clipped * clipped))
        moving[MEAN, i] = bowed if new == clipped else middle
        moving[NEW, i] = clipped
        moving[PEDAL, i] = pedal
        leap = after < half * before or after > two * before
        moving[ROUGH, i] = (one if leap else zero) if new < end else Single(-1.0)
        moving[PUSHED, i] += step if new <= walk else zero


@_compiled
def _enter(power, moving, fixed, count, step, scale, last, begins):
    """Add a step to the sums and take the new speed."""
    for i in range(count):
        place = moving[MEAN, i] * scale
        node = min(int(place), last)
        low = power[begins[i] + node]
        read = low + (power[begins[i] + node + 1] - low) * (place - Single(node))
        duration = step / moving[MEAN, i]
        moving[ENERGY, i] += duration * (read if moving[PEDAL, i] > 0.0 else fixed[REST, i])
        moving[TIME, i] += duration
        moving[V, i] = moving[NEW, i]


@_compiled
def _ride(force, power, nodes, table, given, scale, length, sine, roll, headwind, ceiling, sums):
    """Fill `sums`, shape (3, scenarios)."""
    last, gentle = nodes - 2, Single(KINK)
    moving, apart = np.zeros((12, LANES), Single), np.zeros((12, LANES), Single)
    fixed, held = np.zeros((8, LANES), Single), np.zeros((8, LANES), Single)
    begins, starts = np.zeros(LANES, np.int64), np.zeros(LANES, np.int64)
    pick = np.zeros(LANES, np.int64)
    for at in range(0, len(table), LANES):
        count = min(LANES, len(table) - at)
        moving[:] = Single(0.0)
        for i in range(LANES):  # filled up with the last one
            one = at + min(i, count - 1)
            begins[i] = table[one] * nodes
            moving[V, i] = Single(WALK)
            for k in range(8):
                fixed[k, i] = given[k, one]
        for cell in range(len(length)):
            step, up, flat, wind = length[cell], sine[cell], roll[cell], headwind[cell]
            end = max(ceiling[cell + 1], Single(WALK))
            start = max(ceiling[cell], Single(WALK / EASE + 1e-6))
            below = Single(EASE) * start if ceiling[cell + 1] > 0.0 else Single(-1.0)
            _read(force, moving, V, LANES, scale, last, begins, LOW)
            for i in range(LANES):
                apart[PUSHED, i] = moving[PUSHED, i]
            _advance(moving, fixed, LANES, step, up, flat, wind, below, end, scale)
            _read(force, moving, NEW, LANES, scale, last, begins, AHEAD)
            rough = 0
            for i in range(LANES):
                change = moving[AHEAD_RISE, i] / moving[NEW, i] - moving[RISE, i] / moving[V, i]
                kink = abs(change) * moving[PEDAL, i] * (scale * step) / fixed[HEAVY, i]
                if moving[ROUGH, i] > 0.0 or (moving[ROUGH, i] == 0.0 and kink > gentle):
                    pick[rough] = i
                    rough += 1
            if rough > 0:
                wide = min(-(-rough // WIDE) * WIDE, LANES)
                for j in range(rough, wide):
                    pick[j] = pick[rough - 1]
                for j in range(wide):
                    i = pick[j]
                    starts[j] = begins[i]
                    for k in range(8):
                        held[k, j] = fixed[k, i]
                    apart[V, j] = moving[V, i]
                    apart[ENERGY, j] = moving[ENERGY, i]
                    apart[TIME, j] = moving[TIME, i]
                    apart[PUSHED, j] = apart[PUSHED, i]  # i rises, so it has not been written over
                part = step / Single(SUBSTEPS)
                for _ in range(SUBSTEPS):
                    _read(force, apart, V, wide, scale, last, starts, LOW)
                    _advance(apart, held, wide, part, up, flat, wind, below, end, scale)
                    _enter(power, apart, held, wide, part, scale, last, starts)
            _enter(power, moving, fixed, LANES, step, scale, last, begins)
            for j in range(rough):
                i = pick[j]
                moving[V, i] = apart[V, j]
                moving[ENERGY, i] = apart[ENERGY, j]
                moving[TIME, i] = apart[TIME, j]
                moving[PUSHED, i] = apart[PUSHED, j]
        for i in range(count):
            sums[0, at + i] = moving[ENERGY, i]
            sums[1, at + i] = moving[TIME, i]
            sums[2, at + i] = moving[PUSHED, i]


def ride(
    tables: Tables, road: Road, course: Course, *, mapper: Mapper = map, parts: int = 1
) -> Ride:
    """Ride a course once with every scenario; see `range.ride` for the scheme and `range_compiled.ride` for the rest."""
    weight = road.mass * STANDARD_GRAVITY
    given = np.stack(
        [
            tables.coast_force[tables.table], road.inertia, weight, weight * road.crr, road.wind,
            road.factor - 1.0, 0.5 * road.air_density * road.cda * road.factor, tables.standby[tables.table],
        ]
    ).astype(Single)  # fmt: skip
    force, power = (np.ascontiguousarray(one, Single).ravel() for one in (tables.force, tables.battery_power))  # fmt: skip
    slope = np.arctan(course.grade)
    cells = [
        np.asarray(one, Single)
        for one in (
            np.diff(course.distance), np.sin(slope), np.cos(slope) * course.surface, course.headwind, course.ceiling,
        )
    ]  # fmt: skip
    sums = np.empty((3, len(tables.table)))
    nodes, scale = tables.force.shape[1], Single(1.0 / tables.speed_step)

    def share(part: slice) -> None:
        table = tables.table[part]
        _ride(force, power, nodes, table, given[:, part], scale, *cells, sums[:, part])

    size = max(-(-len(tables.table) // parts), 1)
    list(mapper(share, [slice(at, at + size) for at in range(0, len(tables.table), size)]))
    return Ride(*sums)
