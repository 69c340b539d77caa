"""The traction of `traction.py`, scenario by scenario in compiled code.

The same sums in the same order, so both give the same to the last digit; `traction.traction` stays the reference that this
one is tested against. Nothing on the way from a speed to its forces goes through memory, where numpy spends its time.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute.assist import Law
from generator.compute.compiled import compiled, inner
from generator.compute.motor import Machine
from generator.compute.traction import CADENCE_FADE, SLOWEST, Drive, Pedaller

Array = NDArray[np.float64]


class Tables(NamedTuple):
    """Traction of each scenario at each speed; arrays of shape (scenarios, speeds). See `traction.Traction`."""

    rider_force: Array
    motor_force: Array
    rider_power: Array
    battery_power: Array
    copper_loss: Array


@inner
def least(one, other):
    """The lower of two; NaN where either is."""
    return one if one < other or np.isnan(one) else other


@inner
def share_of(value):
    """A value held between 0 and 1; NaN stays."""
    return 0.0 if value < 0.0 else 1.0 if value > 1.0 else value


def side_by_side(pedaller: Pedaller, drive: Drive) -> Array:
    """What riders and drives are, for `rider_of` and `drive_of`; shape (scenarios, 23). One array compiles faster than many."""
    machine, law, *rest = drive
    return np.stack([*pedaller, *machine, *law, *rest], axis=1)


@inner
def rider_of(parts, one):
    """The pedaller of one scenario."""
    each = parts[one]
    return Pedaller(each[0], each[1], each[2], each[3])


@inner
def drive_of(parts, one):
    """The drive of one scenario."""
    each = parts[one, 4:]
    return Drive(
        Machine(each[0], each[1], each[2], each[3], each[4], each[5], each[6]),
        Law(each[7], each[8], each[9], each[10]),
        each[11],
        each[12],
        each[13],
        each[14],
        each[15],
        each[16],
        each[17],
        each[18],
    )


@inner
def legs(pedaller, efficiency, speed, development):
    """What a rider does: cadence [rpm], speed of the crank [rad/s], power at the pedals [W] and force at the tyre [N]."""
    moving = SLOWEST if speed < SLOWEST else speed
    cadence = 60.0 * speed / development
    crank_speed = 2.0 * np.pi * moving / development
    wanted = least(pedaller.power, pedaller.torque_limit * crank_speed)
    upper = pedaller.upper_cadence
    s = share_of((cadence - upper) / (pedaller.flat_out_cadence - upper))
    power = wanted * (1.0 - s * s * (3.0 - 2.0 * s))
    return cadence, crank_speed, power, power * efficiency / moving


@inner
def push(drive, speed, development, cadence, crank_speed, sensed, engagement):
    """What a motor does: force at the tyre [N], power drawn from the battery and copper loss [W]."""
    moving = SLOWEST if speed < SLOWEST else speed
    machine, law, sag = drive.machine, drive.law, drive.battery_resistance
    idle, gain = machine.no_load_current, machine.constant * machine.reduction_efficiency
    at_crank = drive.at_crank != 0.0
    shaft = crank_speed if at_crank else moving / drive.wheel_radius
    share = share_of((law.speed_limit - speed) / law.taper)
    share *= share_of((drive.cadence_limit + CADENCE_FADE - cadence) / CADENCE_FADE)
    share *= engagement
    command = (np.inf if np.isinf(law.ratio) else law.ratio * sensed) / shaft

    back_emf = machine.constant * shaft
    amps = least(machine.current_limit, law.current_cap)
    amps = least(amps, drive.voltage / (2.0 * sag + 1e-9))
    allowed = machine.controller_efficiency * amps * (drive.voltage - amps * sag)
    root = np.sqrt(back_emf * back_emf + 4.0 * machine.resistance * allowed)
    by_power = 2.0 * allowed / (back_emf + root + 1e-12)
    by_voltage = (drive.voltage - back_emf) / (machine.resistance + sag)
    asked = least(command, machine.torque_limit) / gain + idle
    able = least(least(by_power, by_voltage), asked)
    current = idle + (able - idle) * share if able > idle and command > 0.0 else 0.0
    current = current if current > idle else 0.0
    torque = gain * (current - idle) if current > 0.0 else 0.0
    heat = current * current * machine.resistance
    battery = (back_emf * current + heat) / machine.controller_efficiency + drive.standby
    turns = 1.0 if torque <= 0.0 and speed > 0.0 else 0.0
    held = torque - (1.0 - drive.freewheels) * machine.constant * idle * turns
    if at_crank:
        return held * (2.0 * np.pi / development * drive.drivetrain_efficiency), battery, heat
    return held * (1.0 / drive.wheel_radius), battery, heat


@compiled
def _at_speeds(speeds, ratio, around, parts):
    """Shape (5, scenarios, speeds): the fields of `Tables`."""
    columns = around.shape[1]
    found = np.empty((5, ratio.shape[0] * columns, len(speeds)))
    for one in range(found.shape[1]):
        row, column = one // columns, one % columns
        rider, engine = rider_of(parts, one), drive_of(parts, one)
        for node in range(len(speeds)):
            speed = speeds[node]
            development = ratio[row, node] * around[row, column]
            cadence, crank_speed, power, force = legs(
                rider, engine.drivetrain_efficiency, speed, development
            )
            found[0, one, node], found[2, one, node] = force, power
            force, battery, heat = push(
                engine, speed, development, cadence, crank_speed, power, 1.0
            )
            found[1, one, node], found[3, one, node], found[4, one, node] = force, battery, heat
    return found


def at_speeds(
    speeds: Array, ratio: Array, around: Array, *, pedaller: Pedaller, drive: Drive
) -> Tables:
    """Return the traction of rows of scenarios at each of some speeds, with the law at rest.

    Parameters
    ----------
    speeds : array, shape (speeds,)
        Not negative. [m/s]
    ratio : array, shape (rows, speeds)
        Turns of the driven wheel for one of the crank in the gear in use. [-]
    around : array, shape (rows, columns)
        Circumference of the driven wheel. [m]
    pedaller : Pedaller
    drive : Drive
        Of arrays of shape (rows × columns,), laid out row by row.

    Returns
    -------
    Tables
        The scenarios are rows × columns.
    """
    return Tables(*_at_speeds(speeds, ratio, around, side_by_side(pedaller, drive)))
