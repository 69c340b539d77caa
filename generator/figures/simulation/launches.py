"""Launches at a bike's lowest, middle and highest level and with the motor off, for the launch chart.

The standard launch of the assist figures, with nominal inputs only. SI.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import ride as timed
from generator.compute import traction
from generator.figures.inputs import levels
from generator.figures.inputs.case import Case
from generator.figures.simulation import drives, manoeuvres, rides
from generator.figures.simulation.arrays import map_arrays

Array = NDArray[np.float64]

LONGEST_SHOWN = 14.0
"""Longest launch shown. [s]"""


class LaunchTraces(NamedTuple):
    """Traces of simulated launches; shape (steps, scenarios)."""

    rows: NDArray[np.intp]
    """Row of the case in each scenario. Shape (scenarios,)."""
    time: Array
    """Shape (steps,). [s]"""
    speed: Array
    """[m/s]"""
    rider_power: Array
    """At the pedals. [W]"""


def choose_launch_rows(case: Case) -> NDArray[np.intp]:
    """Rows of the case that are simulated: motor off, lowest, middle and highest level of each bike."""
    wanted = [
        (-1, 0, levels.find_middle_level(bike), levels.count_levels(bike) - 1)
        for bike in case.bikes
    ]
    return np.array(
        [place for place, row in enumerate(case.rows) if row.level in wanted[row.bike]],
        dtype=np.intp,
    )


def simulate_launches(case: Case) -> LaunchTraces:
    """Simulate the launches of all bikes at once."""
    # Imported here because loading compiled code takes a while.
    from generator.compute import launch_compiled

    rows = choose_launch_rows(case)
    bikes = case.row_bike[rows]
    built = case.compute_once(drives.build_drives, case.rider.id, False)
    road = case.compute_once(rides.build_still_road, case.rider.id, case.route.id)

    def by_scenario(part: Array) -> Array:
        whole = np.asarray(part, dtype=float)
        return whole[rows if len(whole) == len(case.rows) else bikes, 0]

    pedaller = map_arrays(built.pedaller, by_scenario)
    developments = (
        drives.list_gear_ratios(case)[bikes] * by_scenario(case["wheels.circumference"])[:, None]
    )
    cadence = 60.0 * by_scenario(case["rider.cadence"])
    setup = timed.Setup(
        pedaller=pedaller._replace(power=np.full(len(rows), manoeuvres.LAUNCH_POWER)),
        drive=map_arrays(built.drive, by_scenario),
        timing=map_arrays(manoeuvres.compute_timing(case), by_scenario),
        road=map_arrays(road, by_scenario),
        developments=developments,
        thresholds=traction.gear_thresholds(developments, cadence),
        temperature=by_scenario(case["road.temperature"]),
    )
    (traces,) = launch_compiled.launches(
        setup,
        together=len(rows),
        step=manoeuvres.TIME_STEP,
        duration=LONGEST_SHOWN,
        until_speed=np.inf,
    )
    time = manoeuvres.TIME_STEP * np.arange(1.0, len(traces.speed) + 1.0)
    return LaunchTraces(rows, time, traces.speed, traces.rider_power)
