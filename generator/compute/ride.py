"""The ride in steps of time: rider, law, motor, battery and road together, for all scenarios at once.

The reference for every faster method, and the stage for the manoeuvres behind the assist character. Left out:
balance, cornering, torque ripple within a turn, gear-change pauses. SI.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import battery, motor
from generator.compute.course import Course
from generator.compute.range import EASE, WALK, Road
from generator.compute.road import STANDARD_GRAVITY
from generator.compute.traction import Drive, Pedaller, gear_in_use, traction

Array = NDArray[np.float64]

ROLLBACK_SPAN = 20.0
"""Span below the winding limit over which the motor reduces its power. [K]  Our modelling choice."""


class Timing(NamedTuple):
    """Time constants of the law; arrays of shape (scenarios,)."""

    take_up_angle: Array
    """Crank angle before the sensor reports pedalling. [rad]"""
    filter: Array
    """Time constant of the torque signal. [s]"""
    ramp: Array
    """Time from no assistance to full assistance. [s]"""
    delay: Array
    """Time from the last pulse until assistance falls. [s]"""
    fall: Array
    """Time from full assistance to none. [s]"""


class Heat(NamedTuple):
    """Thermal model of the motor: the winding as one mass; arrays of shape (scenarios,)."""

    resistance: Array
    """Thermal resistance to the air. [K/W]"""
    capacity: Array
    """Heat capacity. [J/K]"""
    limit: Array
    """Highest temperature of the winding. [°C]"""


class Store(NamedTuple):
    """Charge of the battery; arrays of shape (scenarios,)."""

    cells: Array
    """Cells in series. [-]"""
    charge: Array
    """Usable charge of the full battery. [C]"""
    start: Array
    """State of charge at the start, 0 to 1. [-]"""


@dataclass(frozen=True)
class Setup:
    """All parameters of the scenarios; arrays of shape (scenarios,), developments (scenarios, gears)."""

    pedaller: Pedaller
    drive: Drive
    timing: Timing
    road: Road
    developments: Array
    thresholds: Array
    temperature: Array
    """Temperature of the air. [°C]"""
    heat: Heat | None = None
    store: Store | None = None


@dataclass
class EnergyBalance:
    """Energy balance of a ride, which closes to rounding; arrays of shape (scenarios,). [J]"""

    battery: Array
    rider: Array
    copper: Array
    machine: Array
    """Losses in iron, friction, reduction and controller."""
    drivetrain: Array
    standby: Array
    drag: Array
    """Drag of an idle direct drive."""
    air: Array
    rolling: Array
    climbing: Array
    braking: Array
    kinetic: Array

    @classmethod
    def empty(cls, scenarios: int) -> "EnergyBalance":
        return cls(**{name: np.zeros(scenarios) for name in cls.__dataclass_fields__})

    def gap(self) -> Array:
        """Energy in minus energy out. [J]"""
        out = self.copper + self.machine + self.drivetrain + self.standby + self.drag
        return (
            self.battery
            + self.rider
            - out
            - self.air
            - self.rolling
            - self.climbing
            - (self.braking + self.kinetic)
        )


@dataclass
class RideResult:
    """Result of a ride; arrays of shape (scenarios,), `traces` of shape (steps, scenarios) when recorded."""

    balance: EnergyBalance
    time: Array
    distance: Array
    speed: Array
    winding: Array
    charge: Array
    traces: dict[str, Array]


def simulate(
    setup: Setup,
    *,
    step: float,
    duration: float,
    course: Course | None = None,
    grade: Array | float = 0.0,
    start_speed: Array | float = 0.0,
    pedal_until: Array | float = np.inf,
    until_speed: float = np.inf,
    record: bool = False,
) -> RideResult:
    """Ride for a time, or to the end of a course.

    Parameters
    ----------
    setup : Setup
    step : float
        Time step; 0.1 s is enough for rides, 0.01 s for manoeuvres. [s]
    duration : float
        Longest time. [s]
    course : Course, optional
        Ends each scenario at its end. Without it the road has one `grade` and no wind changes.
    start_speed : float or array
        [m/s]
    pedal_until : float or array
        When the rider stops pedalling. [s]
    until_speed : float
        End as soon as every scenario is this fast. [m/s]
    record : bool
        Keep traces of speed, motor force, rider force, motor power, rider power and crank angle.

    Notes
    -----
    Forces are taken at a speed predicted for the middle of the step, v̂ = v + a Δt/2; then E₁ = E₀ + (F − R) v̂ Δt
    and Δx = v̂ Δt, so that what the forces do and what the kinetic energy gains is the same number and the books close
    to rounding. Of second order in Δt.
    """
    road, timing = setup.road, setup.timing
    count = len(road.mass)
    balance = EnergyBalance.empty(count)
    speed = np.broadcast_to(np.asarray(start_speed, dtype=float), (count,)).copy()
    first_energy = 0.5 * road.inertia * speed**2
    distance, clock = np.zeros(count), np.zeros(count)
    acceleration = np.zeros(count)
    crank, since, engaged = np.zeros(count), np.zeros(count), np.zeros(count)
    sensed = np.zeros(count)
    rolling_start = speed > 0.0
    crank[rolling_start] = 1e9  # has been pedalling for long
    engaged[rolling_start] = 1.0
    sensed[rolling_start] = np.broadcast_to(setup.pedaller.power, (count,))[rolling_start]
    winding = np.broadcast_to(setup.temperature, (count,)).astype(float).copy()
    charge = setup.store.start.astype(float).copy() if setup.store else np.ones(count)
    drive = setup.drive
    cold_resistance = np.asarray(drive.machine.resistance)
    traces: dict[str, list[Array]] = {}
    weight = road.mass * STANDARD_GRAVITY
    drag_area = 0.5 * road.air_density * road.cda * road.factor
    rows = np.arange(count)
    alive = np.ones(count, dtype=bool)
    smoothing = -np.expm1(-step / timing.filter)
    rise = step / np.maximum(timing.ramp, step)  # a shorter ramp is over within the step
    sink = -step / np.maximum(timing.fall, step)
    surface, wind, ceiling = np.ones(count), road.wind, np.full(count, np.inf)
    sine, cosine = _sine_and_cosine(np.broadcast_to(np.asarray(grade, dtype=float), (count,)))
    rollback = np.ones(count)

    for tick in range(round(duration / step)):
        if course is not None:
            cell = np.clip(
                np.searchsorted(course.distance, distance, side="right") - 1,
                0,
                len(course.grade) - 1,
            )
            sine, cosine = _sine_and_cosine(course.grade[cell])
            surface, wind = course.surface[cell], road.wind * course.headwind[cell]
            ceiling = np.sqrt(np.interp(distance, course.distance, course.ceiling**2))
            pedalling = alive & (speed < EASE * np.maximum(ceiling, WALK) + 1e-9)
        else:
            pedalling = alive.copy()
        pedalling &= tick * step < pedal_until

        middle = np.maximum(speed + 0.5 * step * acceleration, 1e-3)
        if course is not None:
            middle = np.maximum(middle, WALK)
        development = setup.developments[rows, gear_in_use(middle, setup.thresholds)]
        crank = np.where(pedalling, crank + 2.0 * np.pi * middle / development * step, 0.0)
        since = np.where(pedalling, 0.0, since + step)
        sensor = np.where(pedalling, crank >= timing.take_up_angle, since <= timing.delay)
        sensor &= engaged + pedalling > 0.0
        rate = np.where(sensor, np.where(crank > 0, rise, 0.0), sink)
        engaged = np.clip(engaged + rate, 0.0, 1.0)
        if setup.heat is not None:
            rollback = np.clip((setup.heat.limit - winding) / ROLLBACK_SPAN, 0.0, 1.0)
            hot = motor.warm_resistance(cold_resistance, winding)
            drive = drive._replace(machine=drive.machine._replace(resistance=hot))
        if setup.store is not None:
            ocv = battery.open_circuit_voltage(charge, cells_in_series=setup.store.cells)
            drive = drive._replace(voltage=ocv)
        now = traction(
            middle,
            development,
            pedaller=setup.pedaller,
            drive=drive,
            pedalling=pedalling,
            sensed_power=sensed,
            engagement=engaged * rollback,
        )
        sensed = sensed + (now.rider_power - sensed) * smoothing

        travel = middle * step * alive
        air = middle + wind
        aero = drag_area * air * np.abs(air)
        rolling = weight * cosine * road.crr * surface
        climbing = weight * sine
        excess = np.where(rolling + climbing > 0.0, road.factor, 1.0)
        pull = now.rider_force + now.motor_force
        energy = 0.5 * road.inertia * speed**2
        gained = energy + (pull - aero - excess * (rolling + climbing)) * travel
        new = np.sqrt(2.0 * np.maximum(gained, 0.0) / road.inertia)
        cap = ceiling if course is None else np.maximum(ceiling, WALK)
        new = np.minimum(new, cap)
        if course is not None:
            new = np.maximum(new, WALK)  # the rider has got off and pushes
        new = np.where(alive, new, 0.0)
        kept = np.where(alive, 0.5 * road.inertia * new**2, energy)
        acceleration = np.where(new >= cap, 0.0, (new - speed) / step)
        if tick == 0:
            acceleration = (new - speed) / step

        _add_step(balance, now, drive, travel, step * alive, aero, rolling, climbing, excess)
        balance.braking += np.where(alive, gained - kept, 0.0)
        if setup.heat is not None:
            lost = (winding - setup.temperature) / setup.heat.resistance
            winding = winding + (now.copper_loss - lost) * step / setup.heat.capacity
        if setup.store is not None:
            amps = now.battery_power / np.asarray(drive.voltage)
            charge = np.maximum(charge - amps * step * alive / setup.store.charge, 0.0)
        speed = np.where(alive, new, speed)
        distance += travel
        clock += step * alive
        if record:
            sample = {
                "speed": speed,
                "distance": distance,
                "motor_force": now.motor_force,
                "rider_force": now.rider_force,
                "motor_power": now.motor_force * middle,
                "rider_power": now.rider_power,
                "crank": np.where(pedalling, crank, 0.0),
                "engaged": engaged,
            }
            for name, values in sample.items():
                traces.setdefault(name, []).append(np.array(values, dtype=float))
        # Ten steps at least, so that traces can be differenced; NaN, of a bike that lacks an input, does not wait.
        if tick >= 10 and not (speed < until_speed).any():
            break
        if course is not None:
            alive = alive & (distance < course.length)
            if not alive.any():
                break
    balance.kinetic = 0.5 * road.inertia * speed**2 - first_energy
    return RideResult(
        balance,
        clock,
        distance,
        speed,
        winding,
        charge,
        {k: np.array(v) for k, v in traces.items()},
    )


def _sine_and_cosine(grade: Array) -> tuple[Array, Array]:
    """Sine and cosine of the road's angle."""
    cosine = 1.0 / np.sqrt(1.0 + grade**2)
    return grade * cosine, cosine


def _add_step(balance, now, drive, travel, step, aero, rolling, climbing, excess) -> None:
    """Add one step to the energy balance; the caller enters pushing and braking, which close it."""
    driven = np.maximum(now.motor_force, 0.0)
    idle = np.maximum(-now.motor_force, 0.0)
    to_shaft = np.where(np.asarray(drive.at_crank, dtype=bool), drive.drivetrain_efficiency, 1.0)
    shaft = driven * travel / to_shaft
    balance.battery += now.battery_power * step
    balance.standby += drive.standby * step
    balance.copper += now.copper_loss * step
    balance.machine += (now.battery_power - drive.standby - now.copper_loss) * step - shaft
    balance.rider += now.rider_force / drive.drivetrain_efficiency * travel
    balance.drivetrain += now.rider_force * (1.0 / drive.drivetrain_efficiency - 1.0) * travel
    balance.drivetrain += shaft - driven * travel
    balance.drag += idle * travel
    balance.air += aero * travel
    balance.rolling += excess * rolling * travel
    balance.climbing += excess * climbing * travel
