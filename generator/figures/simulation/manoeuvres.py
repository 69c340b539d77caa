"""Shared intermediate results: standard manoeuvres simulated in time, for the assist character."""

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import assist, traction
from generator.compute import ride as timed
from generator.figures.inputs.case import Case
from generator.figures.simulation import drives, rides
from generator.figures.simulation.arrays import find_places, map_arrays
from generator.specs.units import kmh

if TYPE_CHECKING:
    from generator.compute import launch_compiled

Array = NDArray[np.float64]

LAUNCH_POWER = 60.0
"""Rider's power in the launch. [W]"""
LAUNCH_SPEED = kmh(15)
"""[m/s]"""
LAUNCH_TIME = 20.0
"""Longest launch simulated. [s]"""
TIME_STEP = 0.02
"""Time step. [s]"""
JERK_STEPS = 5
"""Steps over which the growth of the motor's push is taken: 0.1 s."""


class LaunchResults(NamedTuple):
    """Results of launches on the flat; arrays of shape (bikes, columns), NaN where a bike does not get that far."""

    take_up: Array
    """Time from the first push to half the motor's greatest push. [s]"""
    time: Array
    """Time to `LAUNCH_SPEED`. [s]"""
    distance: Array
    """Distance to `LAUNCH_SPEED`. [m]"""
    acceleration: Array
    """Highest acceleration. [m/s²]"""
    jerk: Array
    """Fastest growth of the motor's push, per mass. [m/s³]"""
    pushed: tuple[tuple[Array, Array], ...]
    """Crank angle since rest and motor force of each bike, with nominal inputs. [rad, N]"""


def compute_timing(case: Case) -> timed.Timing:
    """Time constants of the law; arrays of shape (bikes, columns)."""
    return timed.Timing(
        take_up_angle=assist.take_up_angle(case["assist.start_pulses"], case["assist.pulses"]),
        filter=case["assist.filter"],
        ramp=case["assist.ramp"],
        delay=case["assist.delay"],
        fall=case["assist.fall"],
    )


def simulate_launch(case: Case) -> LaunchResults:
    """Set off from rest at the middle level with a steady push; only active columns are simulated."""
    # Imported here because loading compiled code takes a while.
    from generator.compute import launch_compiled

    with case.collect_uses() as used:
        built = case.compute_once(drives.build_drives, case.rider.id, False)
        here = case.compute_once(rides.build_still_road, case.rider.id, case.route.id)
        clock = compute_timing(case)
        cadence = 60.0 * case["rider.cadence"]
    used = {use for use in used if use[0] != "rider.power"}
    case.record_uses(used)
    columns = case.find_active_columns(used)
    rows = case.find_reference_rows()
    shape = (len(case.bikes), len(columns))

    def by_bike(part: Array) -> Array:
        part = case.pick_rows(part, rows) if len(part) == len(case.rows) else part
        part = part[:, columns] if part.shape[1] > 1 else np.repeat(part, len(columns), axis=1)
        return part.ravel()

    drive, road, clock = (map_arrays(part, by_bike) for part in (built.drive, here, clock))
    pedaller = map_arrays(built.pedaller, by_bike)._replace(
        power=np.full(shape[0] * shape[1], LAUNCH_POWER)
    )
    ratios = np.repeat(drives.list_gear_ratios(case), len(columns), axis=0)
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
        step=TIME_STEP,
        duration=LAUNCH_TIME,
        until_speed=1.05 * LAUNCH_SPEED,
    ):
        found.append(_measure_launches(traces))
        pushed.append((traces.crank[:, 0].copy(), traces.motor_force[:, 0].copy()))
    back = find_places(np.arange(case.columns), columns)
    take_up, time, distance, acceleration, jolt = np.array(found).transpose(1, 0, 2)[:, :, back]
    inertia = road.inertia.reshape(shape)[:, back]
    return LaunchResults(take_up, time, distance, acceleration, jolt / inertia, tuple(pushed))


def _measure_launches(traces: "launch_compiled.Traces") -> tuple[Array, ...]:
    """Results of one bike's launches in the order of `LaunchResults`, with growth of the push [N/s] for jerk; each (columns,)."""
    speed, force = traces.speed, traces.motor_force
    time = TIME_STEP * np.arange(1.0, len(speed) + 1.0)
    half = 0.5 * force.max(axis=0)
    take_up = find_crossing(force, np.maximum(half, 1e-6), time)
    gained = (speed[6:] - speed[5:-1]).max(axis=0) / TIME_STEP  # after 0.1 s
    growth = (force[JERK_STEPS:] - force[:-JERK_STEPS]).max(axis=0) / (JERK_STEPS * TIME_STEP)
    return (
        np.where(half > 0.0, take_up, np.nan),
        find_crossing(speed, LAUNCH_SPEED, time),
        find_crossing(speed, LAUNCH_SPEED, traces.distance),
        gained,
        growth,
    )


def find_crossing(trace: Array, level: Array | float, values: Array) -> Array:
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
