"""Launches at a bike's lowest, middle and highest level and with the motor off, for the chart of them.

The same standard launch as behind the assist figures, with nominal inputs only. SI.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import ride as timed
from generator.compute import traction
from generator.figures.inputs import levels
from generator.figures.inputs.case import Case
from generator.figures.simulation import drives, manoeuvres, rides
from generator.figures.simulation.arrays import each_array

Array = NDArray[np.float64]

SHOWN = 14.0
"""Longest launch shown. [s]"""


class Launches(NamedTuple):
    """Traces of shape (steps, scenarios)."""

    rows: NDArray[np.intp]
    """Row of the case that each scenario plays. Shape (scenarios,)."""
    time: Array
    """Shape (steps,). [s]"""
    speed: Array
    rider_power: Array
    """At the pedals. [W]"""


def places(case: Case) -> NDArray[np.intp]:
    """Rows of the case that are played: motor off, lowest, middle and highest level of each bike."""
    wanted = [(-1, 0, levels.middle(bike), levels.count(bike) - 1) for bike in case.bikes]
    return np.array(
        [place for place, row in enumerate(case.rows) if row.level in wanted[row.bike]],
        dtype=np.intp,
    )


def launches(case: Case) -> Launches:
    """All bikes' launches at once."""
    # Compiled code: loading what runs it takes a while.
    from generator.compute import launch_compiled

    rows = places(case)
    bikes = case.row_bike[rows]
    built = case.shared(drives.engine, case.rider.id, False)
    road = case.shared(rides.still_road, case.rider.id, case.route.id)

    def by_scenario(part: Array) -> Array:
        whole = np.asarray(part, dtype=float)
        return whole[rows if len(whole) == len(case.rows) else bikes, 0]

    pedaller = each_array(built.pedaller, by_scenario)
    developments = (
        drives.gear_ratios(case)[bikes] * by_scenario(case["wheels.circumference"])[:, None]
    )
    cadence = 60.0 * by_scenario(case["rider.cadence"])
    setup = timed.Setup(
        pedaller=pedaller._replace(power=np.full(len(rows), manoeuvres.PUSH)),
        drive=each_array(built.drive, by_scenario),
        timing=each_array(manoeuvres.timing(case), by_scenario),
        road=each_array(road, by_scenario),
        developments=developments,
        thresholds=traction.gear_thresholds(developments, cadence),
        temperature=by_scenario(case["road.temperature"]),
    )
    (traces,) = launch_compiled.launches(
        setup, together=len(rows), step=manoeuvres.STEP, duration=SHOWN, until_speed=np.inf
    )
    time = manoeuvres.STEP * np.arange(1.0, len(traces.speed) + 1.0)
    return Launches(rows, time, traces.speed, traces.rider_power)
