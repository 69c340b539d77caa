"""Figures of the motor's greatest power."""

import numpy as np

from generator.figures import sources, units
from generator.figures.inputs.case import Array, Case
from generator.figures.registry import figure
from generator.figures.simulation import drives
from generator.figures.simulation.arrays import find_places
from generator.figures.variants import use_full_level


def compute_best_power(case: Case) -> Array:
    """Most mechanical power at the tyre over all speeds, highest level; shape (bikes, columns). [W]"""
    tables, _, columns = case.compute_once(drives.build_traction_tables, case.rider.id, True)
    power = (tables.motor_force * drives.SPEEDS).max(axis=1).reshape(len(case.bikes), len(columns))
    return power[:, find_places(np.arange(case.columns), columns)]


@figure(
    "motor.peak_power",
    title="Most power at the tyre",
    unit=units.POWER,
    words="The most that the motor pushes with at any speed at the highest level, all its limits at once.",
    formula="max over v of F_motor(v) · v",
    source=sources.DC_MACHINE,
    conditions="half charge; default rider pushing as on a short hill; level {level_name}",
    better="higher",
    each=use_full_level,
    worked=(
        "within {motor.current_limit} from the battery and {motor.torque} at the output: {value}",
    ),
)
def peak_power(case):
    return case.compute_once(compute_best_power)


@figure(
    "motor.full_power",
    title="Most power from the battery",
    unit=units.POWER,
    words="Nominal voltage times the current at which the controller stops.",
    formula="P = V × A",
    source=sources.IDENTITY,
    worked=("{battery.voltage} × {motor.current_limit} = {value}",),
)
def full_power(case):
    return case["battery.voltage"] * case["motor.current_limit"]
