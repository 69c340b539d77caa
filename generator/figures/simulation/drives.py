"""Shared intermediate results: drive and rider of each bike at each level, and their traction tables."""

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.compute import assist, battery, motor, traction
from generator.compute.range import Tables
from generator.figures.inputs import is_direct, is_mid_drive, levels
from generator.figures.inputs.case import Case
from generator.figures.simulation.arrays import map_arrays

if TYPE_CHECKING:
    from generator.compute import traction_compiled

Array = NDArray[np.float64]

SPEED_STEP = 0.05
"""Step between speeds in the traction tables. [m/s]"""
SPEEDS = np.arange(0.0, 15.01, SPEED_STEP)
"""Speeds of the traction tables. [m/s]"""
HALF_CHARGE = 0.5
"""State of charge at which steady figures hold."""


class RiddenDrive(NamedTuple):
    """Drive and rider of each bike at each level; arrays of shape (rows, columns)."""

    drive: traction.Drive
    pedaller: traction.Pedaller
    ratios: Array
    """Chainring over cog times hub ratio, ascending, padded with NaN; shape (rows, gears). [-]"""
    circumference: Array
    """Rolling circumference of the driven wheel. [m]"""


class TractionTables(NamedTuple):
    """Traction tables for the columns in which they differ, laid out row by row."""

    tables: Tables
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]


def list_gear_ratios(case: Case) -> Array:
    """Gear ratios of each bike, ascending, padded with NaN; shape (bikes, gears). [-]"""
    case.get_input("drivetrain.gears")
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


def compute_developments(case: Case) -> Array:
    """Development of each gear, ascending; shape (bikes, columns, gears). [m]"""
    return list_gear_ratios(case)[:, None, :] * case["wheels.circumference"][:, :, None]


def build_drives(case: Case, rider: str, hill: bool) -> RiddenDrive:
    """Every bike at every level, pedalled by a rider, on the flat or with the effort of a short hill."""
    rows = case.spread_over_rows
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
        speed_limit=np.minimum(
            case.get_level_input("level.speed"), rows(case["motor.assisted_speed"])
        ),
        current_cap=assist.level_current(
            current=case.get_level_input("level.current"),
            share=case.get_level_input("level.power"),
            full_current=full,
        ),
        ratio=case.get_level_input("level.ratio"),
        taper=rows(case["assist.taper"]),
    )
    at_crank = np.array([is_mid_drive(bike) for bike in case.bikes], dtype=float)
    direct = np.array([is_direct(bike) for bike in case.bikes], dtype=float)
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
    power = case.get_input("rider.power", rider=rider)
    if hill:
        power = power * case["rider.hill_effort"]
    upper = 60.0 * case.get_input("rider.upper_cadence", rider=rider)
    mass = case.get_input("rider.mass", rider=rider)
    pedaller = traction.Pedaller(
        power=rows(power),
        upper_cadence=rows(upper),
        flat_out_cadence=rows(upper + 60.0 * case["rider.flat_out"]),
        torque_limit=rows(case["rider.start_torque"] * mass),
    )
    return RiddenDrive(
        drive, pedaller, rows(list_gear_ratios(case)), rows(case["wheels.circumference"])
    )


def find_ridden_rows(case: Case, rider: str, hill: bool) -> NDArray[np.intp]:
    """Rows for which traction is computed.

    On a short hill the highest level of each bike; otherwise every row for the default rider, and for other riders each
    bike's middle level and the levels of their own rides.
    """
    if hill:
        return case.find_full_rows()
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
        if row.level >= 0
        and (row.bike, levels.get_level(case.bikes[row.bike], row.level).name) in own
    ]
    return np.unique(
        np.concatenate([case.find_reference_rows(), np.array(measured, dtype=np.intp)])
    )


def compute_traction(
    case: Case, rider: str, hill: bool
) -> tuple["traction_compiled.Tables", NDArray[np.intp]]:
    """Traction of every ridden row at every speed; shape (rows, active columns, speeds), and the active columns."""
    # Imported here because loading compiled code takes a while.
    from generator.compute import traction_compiled

    with case.collect_uses() as used:
        built = case.compute_once(build_drives, rider, hill)
        wanted = 60.0 * case.spread_over_rows(case.get_input("rider.cadence", rider=rider))
    case.record_uses(used)
    columns = case.find_active_columns(used)
    rows = find_ridden_rows(case, rider, hill)
    block = np.ix_(rows, columns)
    shape = (len(rows), len(columns))

    def take_block(part: Array) -> Array:
        taken = part[block] if part.shape[1] > 1 else np.repeat(part[rows], len(columns), axis=1)
        return taken.ravel()

    # One gear per row and speed, that of the nominal column, so that columns differ in physics only.
    ratios, around = built.ratios[rows], built.circumference[rows]
    thresholds = traction.gear_thresholds(ratios * around[:, :1], wanted[rows, 0])
    gear = traction.gear_in_use(SPEEDS[None, :], thresholds[:, None, :])
    found = traction_compiled.at_speeds(
        SPEEDS,
        np.take_along_axis(ratios, gear, axis=1),
        built.circumference[block],
        pedaller=map_arrays(built.pedaller, take_block),
        drive=map_arrays(built.drive, take_block),
    )
    return map_arrays(found, lambda part: part.reshape(*shape, len(SPEEDS))), columns


def build_traction_tables(case: Case, rider: str, hill: bool) -> TractionTables:
    """Traction tables of every ridden row."""
    found, columns = case.compute_once(compute_traction, rider, hill)
    drive = case.compute_once(build_drives, rider, hill).drive
    rows = find_ridden_rows(case, rider, hill)
    block = np.ix_(rows, columns)
    machine, freewheels = drive.machine, drive.freewheels
    drag = motor.drag_torque(machine=machine, freewheels=freewheels) / drive.wheel_radius

    def flatten_rows(array: Array) -> Array:
        return np.ascontiguousarray(array).reshape(-1, len(SPEEDS))

    tables = Tables(
        speed_step=SPEED_STEP,
        force=flatten_rows(found.rider_force + found.motor_force),
        coast_force=-drag[block].ravel(),
        rider_power=flatten_rows(found.rider_power),
        battery_power=flatten_rows(found.battery_power),
        standby=drive.standby[block].ravel(),
        motor_force=flatten_rows(found.motor_force),
        table=np.arange(len(rows) * len(columns)),
    )
    return TractionTables(tables, rows, columns)
