"""The launch from rest of `ride.py`, scenario by scenario in compiled code.

The same steps with the same sums in the same order as `ride.simulate`, so both give the same to the last digit; it stays the
reference that this one is tested against. Left out is what no launch meets: hills, brakes, a pause of the pedals, heat, an
emptying battery, and the books.
"""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute.compiled import compiled
from generator.compute.ride import Setup
from generator.compute.road import STANDARD_GRAVITY
from generator.compute.traction_compiled import (
    drive_of,
    legs,
    push,
    rider_of,
    share_of,
    side_by_side,
)

Array = NDArray[np.float64]


class Traces(NamedTuple):
    """At the end of each step; arrays of shape (steps, scenarios)."""

    speed: Array
    """[m/s]"""
    distance: Array
    """[m]"""
    motor_force: Array
    """At the tyre. [N]"""
    rider_power: Array
    """At the pedals. [W]"""
    crank: Array
    """Angle turned since rest. [rad]"""


@compiled
def _launch(
    parts, road, developments, thresholds, take_up, smoothing, rise, sink, step, until_speed, first, traces
):  # fmt: skip
    """Fill traces of shape (5, 1 + steps, scenarios from `first` on), rest before; return how many steps were made."""
    count, gears = traces.shape[2], developments.shape[1]
    gained, engaged, sensed = np.zeros(count), np.zeros(count), np.zeros(count)
    traces[:, 0] = 0.0
    for tick in range(1, traces.shape[1]):
        before, after = traces[:, tick - 1], traces[:, tick]
        waiting = False
        for place in range(count):
            one, speed = first + place, before[0, place]
            middle = speed + 0.5 * step * gained[place]
            middle = 1e-3 if middle < 1e-3 else middle
            gear = 0
            while gear < gears - 1 and middle > thresholds[one, gear]:
                gear += 1
            development = developments[one, gear]
            crank = before[4, place] + 2.0 * np.pi * middle / development * step
            rate = rise[one] if crank >= take_up[one] else sink[one]
            engaged[place] = share_of(engaged[place] + rate)
            engine = drive_of(parts, one)
            cadence, crank_speed, power, pull = legs(
                rider_of(parts, one), engine.drivetrain_efficiency, middle, development
            )
            force, _, _ = push(
                engine, middle, development, cadence, crank_speed, sensed[place], engaged[place]
            )
            sensed[place] += (power - sensed[place]) * smoothing[one]

            travel, air = middle * step, middle + road.wind[one]
            aero = 0.5 * road.air_density[one] * road.cda[one] * road.factor[one] * air * abs(air)
            rolling = road.mass[one] * STANDARD_GRAVITY * road.crr[one] * road.factor[one]
            energy = 0.5 * road.inertia[one] * (speed * speed)
            energy += (pull + force - aero - rolling) * travel
            new = np.sqrt(2.0 * (0.0 if energy < 0.0 else energy) / road.inertia[one])
            gained[place] = (new - speed) / step
            after[0, place], after[1, place] = new, before[1, place] + travel
            after[2, place], after[3, place], after[4, place] = force, power, crank
            waiting |= new < until_speed
        if tick > 10 and not waiting:  # ten steps at least, so that traces can be differenced
            return tick
    return traces.shape[1] - 1


def launches(
    setup: Setup, *, together: int, step: float, duration: float, until_speed: float
) -> Iterator[Traces]:
    """Set off from rest on the flat, with one group of scenarios after another.

    Parameters
    ----------
    setup : Setup
        Arrays of shape (scenarios,); heat and store are left out.
    together : int
        Scenarios of a group, one behind the other; its traces are as long as its slowest needs.
    step : float
        [s]
    duration : float
        Longest time. [s]
    until_speed : float
        A group ends as soon as all of it is this fast; NaN, of a bike that lacks an input, does not wait. [m/s]

    Yields
    ------
    Traces
        Of each group, overwritten by the next.

    Notes
    -----
    The scheme is that of `ride.simulate`.
    """
    timing, parts = setup.timing, side_by_side(setup.pedaller, setup.drive)
    smoothing = -np.expm1(-step / timing.filter)
    rise = step / np.maximum(timing.ramp, step)  # a shorter ramp is over within the step
    sink = -step / np.maximum(timing.fall, step)
    traces = np.empty((5, 1 + round(duration / step), together))
    for first in range(0, len(setup.road.mass), together):
        steps = _launch(
            parts, setup.road, setup.developments, setup.thresholds,
            timing.take_up_angle, smoothing, rise, sink, step, until_speed, first, traces,
        )  # fmt: skip
        yield Traces(*traces[:, 1 : steps + 1])
