"""The motor as an equivalent direct-current machine, with all its limits at once.

The machine is seen from its output shaft: the wheel for a hub motor, the crank for a mid drive. Copper loss, a
constant no-load current (iron and friction), the reduction and the controller are in it. Left out: field
weakening, regeneration, torque ripple. All SI; every argument broadcasts.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

COPPER_TEMPERATURE_COEFFICIENT = 0.00393
"""Relative rise of copper resistance per kelvin above 20 °C. [1/K]  IEC 60028 (value from memory)."""


class Machine(NamedTuple):
    """Parameters of the machine; arrays of one shape or broadcastable."""

    constant: Array
    """Torque constant k at the output shaft, before the reduction's loss. [N·m/A]"""
    resistance: Array
    """Winding and leads at working temperature. [Ω]"""
    no_load_current: Array
    """[A]"""
    torque_limit: Array
    """At the output shaft. [N·m]"""
    current_limit: Array
    """Battery current that the controller does not exceed. [A]"""
    controller_efficiency: Array
    """[-]"""
    reduction_efficiency: Array
    """[-]"""


class OperatingPoint(NamedTuple):
    """State of the machine at one shaft speed."""

    torque: Array
    """Torque at the output shaft, never negative. [N·m]"""
    current: Array
    """Current in the winding. [A]"""
    battery_power: Array
    """Power drawn from the battery, without standby. [W]"""
    copper_loss: Array
    """Heat in the winding. [W]"""


def operating_point(
    shaft_speed: ArrayLike,
    torque_command: ArrayLike,
    *,
    machine: Machine,
    voltage: ArrayLike,
    battery_resistance: ArrayLike,
    current_cap: ArrayLike = np.inf,
) -> OperatingPoint:
    """Return what the machine gives when asked for a torque, whichever limit bites first.

    Parameters
    ----------
    shaft_speed : float or array
        Speed of the output shaft ω, not negative. [rad/s]
    torque_command : float or array
        Torque asked for at the output shaft; np.inf for all it has. [N·m]
    machine : Machine
    voltage : float or array
        Open-circuit voltage of the battery at its present charge. [V]
    battery_resistance : float or array
        Battery and leads. [Ω]
    current_cap : float or array
        Battery current that the assist level allows; np.inf for no cap. [A]

    Returns
    -------
    OperatingPoint

    Notes
    -----
    The winding current I is the least of what the command asks, what the torque limit allows, what the voltage can
    push against the back-EMF with the controller fully open, (V − kω)/(R + R_b), and what the battery current i
    allows, the root of (kω + I R) I = η i (V − i R_b). So the sag of the battery is in it without iteration.
    A machine that cannot push forward is off: no torque, no current.

    References
    ----------
    The equations of the separately excited DC machine, as in any text on electric drives: V = kω + I R,
    T = k (I − I₀), P = V I.
    """
    constant, resistance, idle, torque_limit, current_limit, controller, reduction = (
        np.asarray(part, dtype=float) for part in machine
    )
    voltage = np.asarray(voltage, dtype=float)
    back_emf = constant * np.asarray(shaft_speed, dtype=float)
    amps = np.minimum(current_limit, current_cap)
    amps = np.minimum(amps, voltage / (2.0 * np.asarray(battery_resistance) + 1e-9))  # most power
    allowed = controller * amps * (voltage - amps * battery_resistance)
    by_power = (
        2.0
        * allowed
        / (back_emf + np.sqrt(back_emf * back_emf + 4.0 * resistance * allowed) + 1e-12)
    )
    by_voltage = (voltage - back_emf) / (resistance + battery_resistance)
    asked = np.minimum(torque_command, torque_limit) / (constant * reduction) + idle
    current = np.minimum(np.minimum(by_power, by_voltage), asked)
    on = (current > idle) & (np.asarray(torque_command) > 0.0)
    return _at_current(np.where(on, current, 0.0), back_emf, machine)


def with_less_torque(
    point: OperatingPoint, share: ArrayLike, shaft_speed: ArrayLike, *, machine: Machine
) -> OperatingPoint:
    """Return the operating point at a share (0 to 1) of a point's torque, at the same shaft speed.

    Asking for less than the limits allow meets no limit, so none is looked at again.
    """
    idle = np.asarray(machine.no_load_current, dtype=float)
    current = np.where(point.current > idle, idle + (point.current - idle) * share, 0.0)
    current = np.where(current > idle, current, 0.0)
    back_emf = np.asarray(machine.constant) * np.asarray(shaft_speed, dtype=float)
    return _at_current(current, back_emf, machine)


def _at_current(current: Array, back_emf: Array, machine: Machine) -> OperatingPoint:
    """Operating point of a machine at a winding current; off at zero current."""
    idle, resistance = np.asarray(machine.no_load_current), np.asarray(machine.resistance)
    gain = np.asarray(machine.constant) * machine.reduction_efficiency
    torque = np.where(current > 0.0, gain * (current - idle), 0.0)
    heat = current * current * resistance  # `**` of one number alone may end in another last digit
    power = (back_emf * current + heat) / machine.controller_efficiency
    return OperatingPoint(torque, current, power, heat)


def drag_torque(*, machine: Machine, freewheels: ArrayLike) -> Array:
    """Return the torque with which a machine that is off holds the wheel back.

    A geared motor freewheels (0); a direct drive turns with the wheel and costs k·I₀. [N·m]
    """
    turning = 1.0 - np.asarray(freewheels, dtype=float)
    return turning * np.asarray(machine.constant) * np.asarray(machine.no_load_current)


def constant_from_no_load_speed(no_load_speed: ArrayLike, voltage: ArrayLike) -> Array:
    """Return the torque constant k of a machine that idles at a shaft speed: k = V/ω₀. [N·m/A]

    The drop I₀R across the winding is left out; it is below 1 % for bicycle motors.
    """
    return np.asarray(voltage, dtype=float) / np.asarray(no_load_speed, dtype=float)


def resistance_from_copper_loss(
    copper_loss: ArrayLike, torque: ArrayLike, *, constant: ArrayLike
) -> Array:
    """Return R such that a torque costs a given copper loss: R = P k²/T². [Ω]"""
    return np.asarray(copper_loss) * np.asarray(constant) ** 2 / np.asarray(torque) ** 2


def warm_resistance(resistance_20: ArrayLike, temperature: ArrayLike) -> Array:
    """Return winding resistance at a temperature. [Ω]; temperature in °C."""
    rise = np.asarray(temperature, dtype=float) - 20.0
    return np.asarray(resistance_20) * (1.0 + COPPER_TEMPERATURE_COEFFICIENT * rise)


def peak_efficiency(*, no_load_current: ArrayLike, stall_current: ArrayLike) -> Array:
    """Return the best efficiency of the bare machine, η = (1 − √(I₀/I_stall))². [-]

    An identity of the DC machine; reached at I = √(I₀ I_stall).
    """
    return (1.0 - np.sqrt(np.asarray(no_load_current) / np.asarray(stall_current))) ** 2
