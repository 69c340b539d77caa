"""Shared intermediate results: standard manoeuvres played in time, for the assist character."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import assist, traction
from generator.compute import ride as timed
from generator.figures import drives, rides
from generator.figures.arrays import each_array, places_of
from generator.figures.case import Case

Array = NDArray[np.float64]

PUSH = 60.0
"""Rider's power in the launch. [W]"""
LAUNCH_SPEED = 15 / 3.6
"""[m/s]"""
LAUNCH_TIME = 20.0
"""Longest launch looked at. [s]"""
STEP = 0.02
"""[s]"""


class Launch(NamedTuple):
    """Launches on the flat; traces of shape (steps, bikes, columns)."""

    time: Array
    """Shape (steps,). [s]"""
    speed: Array
    distance: Array
    motor_force: Array
    crank: Array
    """Angle turned since standstill, nominal inputs, shape (steps, bikes). [rad]"""
    inertia: Array
    """Shape (bikes, columns). [kg]"""


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
    track = timed.simulate(
        setup,
        step=STEP,
        duration=LAUNCH_TIME,
        until_speed=1.05 * LAUNCH_SPEED,
        record=True,
    )
    steps = len(track.traces["speed"])
    back = places_of(np.arange(case.columns), columns)

    def widen(trace: Array) -> Array:
        return trace.reshape(steps, *shape)[:, :, back]

    return Launch(
        time=STEP * np.arange(1.0, steps + 1.0),
        speed=widen(track.traces["speed"]),
        distance=widen(track.traces["distance"]),
        motor_force=widen(track.traces["motor_force"]),
        crank=track.traces["crank"].reshape(steps, *shape)[:, :, 0],
        inertia=road.inertia.reshape(shape)[:, back],
    )


def crossing(trace: Array, level: Array | float, values: Array) -> Array:
    """Value, interpolated between steps, at which a trace first rises through a level; shape (bikes, columns)."""
    reached = trace >= level
    at = np.argmax(reached, axis=0)
    ever = reached.any(axis=0)
    before = np.maximum(at - 1, 0)
    values = values if values.ndim > 1 else np.broadcast_to(values[:, None, None], trace.shape)

    def pick(array: Array, index: NDArray[np.intp]) -> Array:
        return np.take_along_axis(array, index[None], axis=0)[0]

    low, high = pick(trace, before), pick(trace, at)
    part = np.where(high > low, (level - low) / np.where(high > low, high - low, 1.0), 1.0)
    found = pick(values, before) + np.clip(part, 0.0, 1.0) * (
        pick(values, at) - pick(values, before)
    )
    return np.where(ever, found, np.nan)
