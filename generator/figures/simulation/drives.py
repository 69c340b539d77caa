"""Shared intermediate results: each bike at each level as an engine, and its tables of traction."""

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import assist, battery, motor, traction
from generator.compute.range import Tables
from generator.figures.inputs import is_mid, levels
from generator.figures.inputs.case import Case
from generator.figures.simulation.arrays import each_array

if TYPE_CHECKING:
    from generator.compute import traction_compiled

Array = NDArray[np.float64]

SPEED_STEP = 0.05
"""Of the tables. [m/s]"""
SPEEDS = np.arange(0.0, 15.01, SPEED_STEP)
"""[m/s]"""
HALF_CHARGE = 0.5
"""State of charge at which steady figures hold."""


class Engine(NamedTuple):
    """Arrays of shape (rows, columns)."""

    drive: traction.Drive
    pedaller: traction.Pedaller
    ratios: Array
    """Chainring over cog times hub ratio, rising, padded with NaN; shape (rows, gears)."""
    circumference: Array


class Bench(NamedTuple):
    """Tables of traction for the columns in which they differ, laid out row by row."""

    tables: Tables
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]


def gear_ratios(case: Case) -> Array:
    """Ratios of each bike, rising, padded with NaN; shape (bikes, gears)."""
    case.input("drivetrain.gears")
    lists = []
    for bike in case.bikes:
        train = bike.drivetrain
        hubs = train.hub_ratios or (1.0,)
        lists.append(
            sorted(
                {round(a / b * h, 6) for a in train.chainrings for b in train.cogs for h in hubs}
            )
        )
    width = max([len(ratios) for ratios in lists] + [1])
    return np.array([ratios + [np.nan] * (width - len(ratios)) for ratios in lists])


def developments(case: Case) -> Array:
    """Developments, rising; shape (bikes, columns, gears). [m]"""
    return gear_ratios(case)[:, None, :] * case["wheels.circumference"][:, :, None]


def engine(case: Case, rider: str, hill: bool) -> Engine:
    """Every bike at every level, pedalled by a rider, on the flat or with the effort of a short hill."""
    rows = case.by_row
    volts = rows(case["battery.voltage"])
    cells = battery.cells_in_series(volts)
    no_load = 2.0 * np.pi * rows(case["motor.no_load"])
    torque = rows(case["motor.torque"])
    constant = motor.constant_from_no_load_speed(no_load, volts)
    full = rows(case["motor.current_limit"])
    machine = motor.Machine(
        constant=constant,
        resistance=motor.resistance_from_copper_loss(
            rows(case["motor.copper"]), torque, constant=constant
        ),
        no_load_current=rows(case["motor.idle"]),
        torque_limit=torque,
        current_limit=full,
        controller_efficiency=rows(case["motor.controller"]),
        reduction_efficiency=rows(case["motor.reduction"]),
    )
    law = assist.Law(
        speed_limit=np.minimum(case.level("level.speed"), rows(case["motor.assisted_speed"])),
        current_cap=assist.level_current(
            current=case.level("level.current"), share=case.level("level.power"), full_current=full
        ),
        ratio=case.level("level.ratio"),
        taper=rows(case["assist.taper"]),
    )
    at_crank = np.array([is_mid(bike) for bike in case.bikes], dtype=float)
    direct = np.array([bike.motor.drive == "direct" for bike in case.bikes], dtype=float)
    drive = traction.Drive(
        machine=machine,
        law=law,
        voltage=battery.open_circuit_voltage(HALF_CHARGE, cells_in_series=cells),
        battery_resistance=rows(case["battery.resistance"]),
        standby=rows(case["motor.standby"]),
        at_crank=rows(at_crank)[:, None],
        freewheels=1.0 - rows(direct)[:, None],
        wheel_radius=rows(case["wheels.motor_circumference"]) / (2.0 * np.pi),
        drivetrain_efficiency=rows(case["drivetrain.efficiency"]),
        cadence_limit=60.0 * rows(case["motor.cadence_limit"]),
    )
    power = case.input("rider.power", rider=rider)
    if hill:
        power = power * case["rider.hill_effort"]
    upper = 60.0 * case.input("rider.upper_cadence", rider=rider)
    mass = case.input("rider.mass", rider=rider)
    pedaller = traction.Pedaller(
        power=rows(power),
        upper_cadence=rows(upper),
        flat_out_cadence=rows(upper + 60.0 * case["rider.flat_out"]),
        torque_limit=rows(case["rider.start_torque"] * mass),
    )
    return Engine(drive, pedaller, rows(gear_ratios(case)), rows(case["wheels.circumference"]))


def ridden_rows(case: Case, rider: str, hill: bool) -> NDArray[np.intp]:
    """Rows that anybody asks for.

    On a short hill the highest level of each bike; else all for the default rider, and for the others each bike's middle
    level and the levels of their own rides.
    """
    if hill:
        return case.full_rows()
    if rider == case.rider.id:
        return np.arange(len(case.rows))
    own = {
        (index, ride.level)
        for index, bike in enumerate(case.bikes)
        for ride in bike.rides
        if ride.rider == rider
    }
    measured = [
        place
        for place, row in enumerate(case.rows)
        if row.level >= 0 and (row.bike, levels.of(case.bikes[row.bike], row.level).name) in own
    ]
    return np.unique(np.concatenate([case.reference_rows(), np.array(measured, dtype=np.intp)]))


def at_speeds(
    case: Case, rider: str, hill: bool
) -> tuple["traction_compiled.Tables", NDArray[np.intp]]:
    """Traction of every ridden row at every speed; shape (rows, active columns, speeds), and the active columns."""
    # Compiled code: loading what runs it takes a while.
    from generator.compute import traction_compiled

    with case.recording() as used:
        built = case.shared(engine, rider, hill)
        wanted = 60.0 * case.by_row(case.input("rider.cadence", rider=rider))
    case.note(used)
    columns = case.active_columns(used)
    rows = ridden_rows(case, rider, hill)
    block = np.ix_(rows, columns)
    shape = (len(rows), len(columns))

    def cut(part: Array) -> Array:
        cut = part[block] if part.shape[1] > 1 else np.repeat(part[rows], len(columns), axis=1)
        return cut.ravel()

    # The gear in use is nominal's: one gear per row and speed, so that draws differ in physics only.
    ratios, around = built.ratios[rows], built.circumference[rows]
    thresholds = traction.gear_thresholds(ratios * around[:, :1], wanted[rows, 0])
    gear = traction.gear_in_use(SPEEDS[None, :], thresholds[:, None, :])
    found = traction_compiled.at_speeds(
        SPEEDS,
        np.take_along_axis(ratios, gear, axis=1),
        built.circumference[block],
        pedaller=each_array(built.pedaller, cut),
        drive=each_array(built.drive, cut),
    )
    return each_array(found, lambda part: part.reshape(*shape, len(SPEEDS))), columns


def bench(case: Case, rider: str, hill: bool) -> Bench:
    """Tables of traction of every ridden row."""
    found, columns = case.shared(at_speeds, rider, hill)
    drive = case.shared(engine, rider, hill).drive
    rows = ridden_rows(case, rider, hill)
    block = np.ix_(rows, columns)
    machine, freewheels = drive.machine, drive.freewheels
    drag = motor.drag_torque(machine=machine, freewheels=freewheels) / drive.wheel_radius

    def flat(array: Array) -> Array:
        return np.ascontiguousarray(array).reshape(-1, len(SPEEDS))

    tables = Tables(
        speed_step=SPEED_STEP,
        force=flat(found.rider_force + found.motor_force),
        coast_force=-drag[block].ravel(),
        rider_power=flat(found.rider_power),
        battery_power=flat(found.battery_power),
        standby=drive.standby[block].ravel(),
        motor_force=flat(found.motor_force),
        table=np.arange(len(rows) * len(columns)),
    )
    return Bench(tables, rows, columns)
