"""Rider, gears, assist law and motor together: the forces at the tyre at each speed, at rest with the law.

This is the quasi-steady heart that ranges, hills and steady speeds share; `ride.py` calls it too, with the time
constants of the law added. All SI; every argument broadcasts.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from generator.compute import assist, motor, rider

Array = NDArray[np.float64]

CADENCE_FADE = 10.0
"""Width over which a mid drive's help fades above its cadence limit. [rpm]  Our modelling choice."""
SLOWEST = 0.05
"""Speed below which forces from power are held constant, so that nothing is divided by zero. [m/s]"""


class Pedaller(NamedTuple):
    """The rider as an engine."""

    power: Array
    """Power that the rider aims for at the pedals. [W]"""
    upper_cadence: Array
    """Highest comfortable cadence: full power up to here. [rpm]"""
    flat_out_cadence: Array
    """Cadence at which the legs add no more power. [rpm]"""
    torque_limit: Array
    """Highest torque of the rider at a slow crank. [N·m]"""


class Drive(NamedTuple):
    """The bike as an engine: motor, law, battery voltage and the way to the tyre."""

    machine: motor.Machine
    law: assist.Law
    voltage: Array
    """Open-circuit voltage at the present charge. [V]"""
    battery_resistance: Array
    """[Ω]"""
    standby: Array
    """Power of display, lights and controller. [W]"""
    at_crank: Array
    """1 for a mid drive, 0 for a hub motor."""
    freewheels: Array
    """1 when the motor does not turn with the wheel while off."""
    wheel_radius: Array
    """Radius of the wheel driven by chain or motor. [m]"""
    drivetrain_efficiency: Array
    """Efficiency of chain or belt and gears. [-]"""
    cadence_limit: Array
    """Cadence above which a mid drive's assistance fades; np.inf for a hub motor. [rpm]"""


class Traction(NamedTuple):
    """Forces and powers at one speed; all of one shape."""

    rider_force: Array
    """Rider's force at the tyre. [N]"""
    motor_force: Array
    """Motor's force at the tyre; negative when an idle direct drive holds back. [N]"""
    rider_power: Array
    """Power at the pedals. [W]"""
    battery_power: Array
    """Power at the battery's terminals, standby included. [W]"""
    copper_loss: Array
    """Heat in the motor's winding. [W]"""
    cadence: Array
    """[rpm]"""


def gear_thresholds(developments: ArrayLike, cadence: ArrayLike) -> Array:
    """Return the speeds at which the rider shifts up: where two gears are equally far from the cadence wanted.

    Parameters
    ----------
    developments : array, shape (..., gears)
        Rising; padded with NaN at the end. [m]
    cadence : float or array, shape (...)
        [rpm]

    Returns
    -------
    array, shape (..., gears − 1)
        Infinite for padding. [m/s]
    """
    developments = np.asarray(developments, dtype=float)
    middle = np.sqrt(developments[..., 1:] * developments[..., :-1])
    speed = middle * np.asarray(cadence, dtype=float)[..., None] / 60.0
    return np.where(np.isnan(speed), np.inf, speed)


def gear_in_use(speed: ArrayLike, thresholds: Array) -> NDArray[np.intp]:
    """Return the index of the gear used at a speed; speed of shape (...) against thresholds (..., gears − 1)."""
    return np.sum(np.asarray(speed)[..., None] > thresholds, axis=-1)


def traction(
    speed: ArrayLike,
    development: ArrayLike,
    *,
    pedaller: Pedaller,
    drive: Drive,
    pedalling: ArrayLike = 1.0,
    sensed_power: ArrayLike | None = None,
    engagement: ArrayLike = 1.0,
) -> Traction:
    """Return what rider and motor push with at a speed, in a gear, while the crank turns.

    Parameters
    ----------
    speed : float or array
        Road speed. [m/s]
    development : float or array
        Of the gear in use. [m per crank turn]
    pedaller : Pedaller
    drive : Drive
    pedalling : float or array
        1 while the rider pushes, 0 while the crank rests. [-]
    sensed_power : float or array, optional
        Rider power as the torque sensor's filter reports it; the true one when left out. [W]
    engagement : float or array
        Share of its torque that the motor has taken up: ramps, run-on, heat. [-]

    Returns
    -------
    Traction

    Notes
    -----
    The rider's power is the least of the wanted power and torque limit × crank speed, and falls off above the upper
    cadence. The motor's torque is the least of what the machine can give under the level's current cap and what the
    sensor lets through, times the taper before the speed limit.
    """
    speed = np.asarray(np.maximum(np.asarray(speed, dtype=float), 0.0))
    development = np.asarray(development, dtype=float)
    moving = np.maximum(speed, SLOWEST)
    cadence = 60.0 * speed / development
    crank_speed = 2.0 * np.pi * moving / development

    wanted = np.minimum(np.asarray(pedaller.power), np.asarray(pedaller.torque_limit) * crank_speed)
    wanted = wanted * pedalling
    rider_power = rider.power_at_cadence(
        wanted, cadence, upper=pedaller.upper_cadence, flat_out=pedaller.flat_out_cadence
    )

    at_crank = np.asarray(drive.at_crank, dtype=bool)
    shaft = np.where(at_crank, crank_speed, moving / np.asarray(drive.wheel_radius))
    law = drive.law
    factor = assist.taper_factor(speed, speed_limit=law.speed_limit, taper=law.taper)
    fade = (np.asarray(drive.cadence_limit) + CADENCE_FADE - cadence) / CADENCE_FADE
    factor = factor * np.clip(fade, 0.0, 1.0) * engagement
    sensed = rider_power if sensed_power is None else sensed_power
    cap = assist.mechanical_cap(sensed, ratio=law.ratio) / shaft
    able = motor.operating_point(
        shaft,
        cap,
        machine=drive.machine,
        voltage=drive.voltage,
        battery_resistance=drive.battery_resistance,
        current_cap=law.current_cap,
    )
    point = motor.with_less_torque(able, factor, shaft, machine=drive.machine)

    to_tyre = np.where(
        at_crank,
        2.0 * np.pi / np.asarray(development) * drive.drivetrain_efficiency,
        1.0 / np.asarray(drive.wheel_radius),
    )
    off = point.torque <= 0.0
    drag = motor.drag_torque(machine=drive.machine, freewheels=drive.freewheels) * off * (speed > 0)
    motor_force = (point.torque - drag) * to_tyre
    rider_force = rider_power * drive.drivetrain_efficiency / moving
    battery_power = point.battery_power + drive.standby
    shape = np.broadcast_shapes(motor_force.shape, rider_force.shape)
    parts = (rider_force, motor_force, rider_power, battery_power, point.copper_loss, cadence)
    return Traction(
        *(part if part.shape == shape else np.broadcast_to(part, shape) for part in parts)
    )
