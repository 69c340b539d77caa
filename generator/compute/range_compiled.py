"""The ride of `range.py`, scenario by scenario in compiled code.

The same scheme as `range.ride`, which stays the reference that this one is tested against. Each scenario's tables fit
the processor's cache, so this is some twenty times faster than numpy over a whole catalogue, and for one bike too.
"""

import math
from collections.abc import Callable, Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from generator.compute.compiled import compiled
from generator.compute.course import Course
from generator.compute.range import EASE, KINK, SUBSTEPS, WALK, Ride, Road, Tables
from generator.compute.road import STANDARD_GRAVITY

Array = NDArray[np.float64]

Mapper = Callable[[Callable[[slice], Any], list[slice]], Iterable[Any]]


@compiled
def _ride(
    tables, table, coast, standby, scale, mass, inertia, crr, cda, density, wind, factor,
    length, sine, cosine, surface, headwind, ceiling,
):  # fmt: skip
    """Sums over the ride of each scenario; shape (scenarios, 5): battery, rider, motor, time, pushed."""
    count, cells, last = len(table), len(length), tables.shape[1] - 2
    sums = np.zeros((count, 5))
    for one in range(count):
        rows = tables[table[one]]
        idle, resting = coast[table[one]], standby[table[one]]
        weight = mass[one] * STANDARD_GRAVITY
        drag = 0.5 * density[one] * cda[one] * factor[one]
        heavy, excess, breeze = inertia[one], factor[one], wind[one]
        speed = WALK
        for cell in range(cells):
            start_ceiling = max(ceiling[cell], WALK / EASE + 1e-6)
            end_ceiling = max(ceiling[cell + 1], WALK)
            pedalled = ceiling[cell + 1] > 0.0
            hold = weight * sine[cell] + weight * crr[one] * (cosine[cell] * surface[cell])
            if hold > 0.0:
                hold *= excess
            entry, parts, done = speed, 1, 0
            while done < parts:
                step = length[cell] / parts
                node = min(int(speed * scale), last)
                low, rise = rows[node, 0], rows[node + 1, 0] - rows[node, 0]
                pedalling = pedalled and speed < EASE * start_ceiling
                push = low + rise * (speed * scale - node) if pedalling else idle
                air = speed + breeze * headwind[cell]
                net = push - drag * air * abs(air) - hold
                climb = rise * scale if pedalling else 0.0
                bend = (climb - 2.0 * drag * abs(air)) / (heavy * speed) * step
                bend = min(max(bend, -60.0), 1.0)
                if abs(bend) < 1e-5:
                    bend = 1e-5
                first = math.expm1(bend) / bend
                before = 0.5 * heavy * speed * speed
                after = before + step * net * first
                middle = before + step * net * (first - 1.0) / bend
                new = math.sqrt(max(2.0 * after / heavy, 0.0))
                clipped = min(max(new, WALK), end_ceiling)
                if parts == 1 and new < end_ceiling:
                    ahead = min(int(clipped * scale), last)
                    change = (rows[ahead + 1, 0] - rows[ahead, 0]) / clipped - rise / speed
                    kink = abs(change) * (scale * step) / heavy if pedalling else 0.0
                    if kink > KINK or after < 0.5 * before or after > 2.0 * before:
                        parts, speed = SUBSTEPS, entry
                        continue
                mean = 0.5 * (speed + clipped)
                if new == clipped:
                    root = math.sqrt(max(2.0 * middle / heavy, WALK * WALK))
                    mean = root * mean / math.sqrt(0.5 * (speed * speed + clipped * clipped))
                duration = step / mean
                if pedalling:
                    node = min(int(mean * scale), last)
                    part = mean * scale - node
                    for each in range(3):
                        read = (
                            rows[node, each + 1]
                            + (rows[node + 1, each + 1] - rows[node, each + 1]) * part
                        )
                        sums[one, each] += read * (duration if each < 2 else step)
                else:
                    sums[one, 0] += duration * resting
                sums[one, 3] += duration
                if new <= WALK:
                    sums[one, 4] += step
                speed = clipped
                done += 1
    return sums


def ride(
    tables: Tables, road: Road, course: Course, *, mapper: Mapper = map, parts: int = 1
) -> Ride:
    """Ride a course once with every scenario; see `range.ride` for scheme, shapes and units.

    Parameters
    ----------
    mapper : callable
        `map`, or the `map` of a pool of threads; the compiled code lets go of the interpreter's lock.
    parts : int
        Into how many shares the scenarios are cut for it.
    """
    if len(tables.table) == 0:
        nothing = np.zeros(0)
        return Ride(nothing, nothing, nothing, nothing, nothing)
    stacked = np.stack(
        [tables.force, tables.battery_power, tables.rider_power, tables.motor_force], axis=-1
    )
    stacked = np.ascontiguousarray(stacked)
    slope = np.arctan(course.grade)
    cells = (
        np.diff(course.distance), np.sin(slope), np.cos(slope),
        course.surface, course.headwind, course.ceiling,
    )  # fmt: skip
    scale = 1.0 / tables.speed_step

    def share(part: slice) -> Array:
        table = tables.table[part]
        held = [np.ascontiguousarray(each[part], dtype=float) for each in road]
        return _ride(stacked, table, tables.coast_force, tables.standby, scale, *held, *cells)

    size = -(-len(tables.table) // parts)
    shares = [slice(at, at + size) for at in range(0, len(tables.table), size)]
    return Ride(*np.concatenate(list(mapper(share, shares))).T)
