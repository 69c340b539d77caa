"""Shared intermediate results: standard manoeuvres played in time, for the assist character."""

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import assist, traction
from generator.compute import ride as timed
from generator.figures.inputs.case import Case
from generator.figures.simulation import drives, rides
from generator.figures.simulation.arrays import each_array, places_of

if TYPE_CHECKING:
    from generator.compute import launch_compiled

Array = NDArray[np.float64]

PUSH = 60.0
"""Rider's power in the launch. [W]"""
LAUNCH_SPEED = 15 / 3.6
"""[m/s]"""
LAUNCH_TIME = 20.0
"""Longest launch looked at. [s]"""
STEP = 0.02
"""[s]"""
JOLT = 5
"""Steps over which the motor's push is seen to grow: 0.1 s."""


class Launch(NamedTuple):
    """What launches on the flat come to; arrays of shape (bikes, columns), NaN where a bike does not get so far."""

    take_up: Array
    """From the first push to half of the most that the motor gives. [s]"""
    time: Array
    """To `LAUNCH_SPEED`. [s]"""
    distance: Array
    """To there. [m]"""
    acceleration: Array
    """The highest. [m/s²]"""
    jerk: Array
    """The fastest growth of the motor's push, per mass. [m/s³]"""
    pushed: tuple[tuple[Array, Array], ...]
    """Of each bike, with nominal inputs: angle of the crank since rest and force of the motor. [rad, N]"""


def timing(case: Case) -> timed.Timing:
    """Time constants of the law; arrays of shape (bikes, columns)."""
    return timed.Timing(
        take_up_angle=assist.take_up_angle(case["assist.start_pulses"], case["assist.pulses"]),
        filter=case["assist.filter"],
        ramp=case["assist.ramp"],
        delay=case["assist.delay"],
        fall=case["assist.fall"],
    )


def launch(case: Case) -> Launch:
    """Set off from rest at the middle level with a steady push; only active columns are simulated."""
    # Compiled code: loading what runs it takes a while.
    from generator.compute import launch_compiled

    with case.recording() as used:
        built = case.shared(drives.engine, case.rider.id, False)
        here = case.shared(rides.still_road, case.rider.id, case.route.id)
        clock = timing(case)
        cadence = 60.0 * case["rider.cadence"]
    used = {use for use in used if use[0] != "rider.power"}
    case.note(used)
    columns = case.active_columns(used)
    rows = case.reference_rows()
    shape = (len(case.bikes), len(columns))

    def by_bike(part: Array) -> Array:
        part = case.pick(part, rows) if len(part) == len(case.rows) else part
        part = part[:, columns] if part.shape[1] > 1 else np.repeat(part, len(columns), axis=1)
        return part.ravel()

    drive, road, clock = (each_array(part, by_bike) for part in (built.drive, here, clock))
    pedaller = each_array(built.pedaller, by_bike)._replace(
        power=np.full(shape[0] * shape[1], PUSH)
    )
    ratios = np.repeat(drives.gear_ratios(case), len(columns), axis=0)
    developments = ratios * by_bike(case["wheels.circumference"])[:, None]
    setup = timed.Setup(
        pedaller=pedaller,
        drive=drive,
        timing=clock,
        road=road,
        developments=developments,
        thresholds=traction.gear_thresholds(developments, by_bike(cadence)),
        temperature=by_bike(case["road.temperature"]),
    )
    found, pushed = [], []
    for traces in launch_compiled.launches(
        setup,
        together=len(columns),
        step=STEP,
        duration=LAUNCH_TIME,
        until_speed=1.05 * LAUNCH_SPEED,
    ):
        found.append(_measured(traces))
        pushed.append((traces.crank[:, 0].copy(), traces.motor_force[:, 0].copy()))
    back = places_of(np.arange(case.columns), columns)
    take_up, time, distance, acceleration, jolt = np.array(found).transpose(1, 0, 2)[:, :, back]
    inertia = road.inertia.reshape(shape)[:, back]
    return Launch(take_up, time, distance, acceleration, jolt / inertia, tuple(pushed))


def _measured(traces: "launch_compiled.Traces") -> tuple[Array, ...]:
    """What the launches of one bike come to, as in `Launch`, but growth of the push for jerk; each (columns,)."""
    speed, force = traces.speed, traces.motor_force
    time = STEP * np.arange(1.0, len(speed) + 1.0)
    half = 0.5 * force.max(axis=0)
    take_up = crossing(force, np.maximum(half, 1e-6), time)
    gained = (speed[6:] - speed[5:-1]).max(axis=0) / STEP  # after 0.1 s
    growth = (force[JOLT:] - force[:-JOLT]).max(axis=0) / (JOLT * STEP)
    return (
        np.where(half > 0.0, take_up, np.nan),
        crossing(speed, LAUNCH_SPEED, time),
        crossing(speed, LAUNCH_SPEED, traces.distance),
        gained,
        growth,
    )


def crossing(trace: Array, level: Array | float, values: Array) -> Array:
    """Value, interpolated between steps, at which a trace first rises through a level; shape (columns,).

    Parameters
    ----------
    trace : array, shape (steps, columns)
    level : float or array, shape (columns,)
    values : array, shape (steps,) or (steps, columns)
    """
    reached = trace >= level
    at = np.argmax(reached, axis=0)
    ever = reached.any(axis=0)
    before = np.maximum(at - 1, 0)
    columns = np.arange(trace.shape[1])
    values = values if values.ndim > 1 else np.broadcast_to(values[:, None], trace.shape)
    low, high = trace[before, columns], trace[at, columns]
    part = np.where(high > low, (level - low) / np.where(high > low, high - low, 1.0), 1.0)
    first, last = values[before, columns], values[at, columns]
    return np.where(ever, first + np.clip(part, 0.0, 1.0) * (last - first), np.nan)
