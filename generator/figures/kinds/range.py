"""Figures of range, consumption and average speed: as ridden on the routes, at equal pace, at 200 % assistance."""

from typing import Any

import numpy as np

from generator.compute import battery, traction
from generator.figures import sources, units
from generator.figures.inputs.case import Array, Case
from generator.figures.registry import figure
from generator.figures.simulation import drives, rides
from generator.figures.simulation.arrays import map_arrays
from generator.figures.variants import (
    use_reference_level,
    vary_route,
    vary_route_and_level,
    vary_route_and_rider,
)
from generator.specs.units import kmh

PACE = kmh(18)
"""Average speed at which bikes are compared. [m/s]  Our choice; every assisted bike can ride it."""
BENCH_RIDER, BENCH_MOTOR, BENCH_SPEED, BENCH_CADENCE = 70.0, 140.0, kmh(20), 60.0
"""Rider and motor power at the tyre [W], speed [m/s] and cadence [rpm] of the ZIV R200 test conditions."""

ROUTE_SOURCE = f"{sources.ROAD_LOAD}; {sources.DC_MACHINE}; {sources.GUM}"
WHO = "{route_name}; {rider_name}; level {level_name}"
RIDE = (
    "the route is ridden in steps of distance: what is left of rider's and motor's push after climbing, air and "
    "tyres changes the speed; the motor's draw is added up"
)


def compute_usable_energy(case: Case, route: str) -> Array:
    """Energy that the battery gives at the route's temperature; shape (bikes, columns). [J]"""
    factor = battery.capacity_factor(case.get_input("road.temperature", route=route))
    return battery.usable_energy(
        case["battery.energy"],
        usable_fraction=case["battery.usable_share"],
        capacity_factor=factor,
        age_factor=case["battery.age"],
    )


def choose_rows(case: Case, level: int | None):
    if level is None:
        return case.find_reference_rows()
    return case.find_numbered_rows(level - 1)


def compute_consumption(case: Case, route: str, rider: str, level: int | None = None) -> Array:
    """Battery energy per distance; shape (bikes, columns). [J/m]"""
    ride = case.compute_once(rides.ride_route, rider, route)
    length = case.compute_once(rides.get_course, route).length
    return case.pick_rows(ride.battery_energy, choose_rows(case, level)) / length


def compute_range(case: Case, route: str, rider: str, level: int | None = None) -> Array:
    """Range on a route; shape (bikes, columns). [m]"""
    return compute_usable_energy(case, route) / compute_consumption(case, route, rider, level)


def list_ride_parts(case: Case, route: str, rider: str, level: int | None = None) -> dict[str, Any]:
    """Intermediate values of a ride: energy from the battery, length of the route, consumption."""
    length = case.compute_once(rides.get_course, route).length
    consumption = compute_consumption(case, route, rider, level)
    return {
        "drawn": (consumption * length, units.ENERGY),
        "length": (np.full_like(consumption, length), units.DISTANCE),
        "consumption": (consumption, units.CONSUMPTION),
    }


def list_range_parts(
    case: Case, route: str, rider: str, level: int | None = None
) -> dict[str, Any]:
    """Intermediate values of a range: those of the ride, and the battery's energy at the route's temperature."""
    warmth = case.get_input("road.temperature", route=route)
    return {
        **list_ride_parts(case, route, rider, level),
        "usable": (compute_usable_energy(case, route), units.ENERGY),
        "cold": (battery.capacity_factor(warmth), units.SHARE),
    }


RANGE: dict[str, Any] = {
    "unit": units.DISTANCE,
    "words": "The energy that the battery gives, divided by what a kilometre of the route takes; " + RIDE + ".",
    "formula": "range = E · usable share · cold factor ÷ consumption",
    "source": ROUTE_SOURCE,
    "conditions": WHO,
    "better": "higher",
    "worked": (
        "usable energy = {battery.energy} × {battery.usable_share} × {part.cold} left at {road.temperature} = {part.usable}",
        "consumption = {part.drawn} from the battery ÷ {part.length} of route = {part.consumption}",
        "range = {part.usable} ÷ {part.consumption} = {value}",
    ),
    "parts": list_range_parts,
}  # fmt: skip


@figure(
    "range.{route}",
    title="Range, {route_name}",
    each=vary_route,
    headline=True,
    sentence=lambda value, text: f"A full battery lasts for about {text} of this road.",
    **RANGE,
)
def range_by_route(case, route, rider):
    return compute_range(case, route, rider)


@figure(
    "energy.{route}",
    title="Consumption, {route_name}",
    each=vary_route,
    unit=units.CONSUMPTION,
    words="What the battery gives on the route, divided by its length; " + RIDE + ".",
    formula="consumption = ∫ P_battery dt ÷ length",
    source=ROUTE_SOURCE,
    conditions=WHO,
    better="lower",
    worked=("{part.drawn} from the battery ÷ {part.length} of route = {value}",),
    parts=list_ride_parts,
)
def consumption(case, route, rider):
    return compute_consumption(case, route, rider)


@figure(
    "speed.{route}",
    title="Average speed, {route_name}",
    each=vary_route,
    unit=units.SPEED,
    words="Length of the route over riding time, starts and stops included, waiting left out.",
    formula="average speed = length ÷ ∫ dt",
    source=ROUTE_SOURCE,
    conditions=WHO,
    worked=("length of the route ÷ riding time = {value}",),
)
def average_speed(case, route, rider):
    ride = case.compute_once(rides.ride_route, rider, route)
    return case.compute_once(rides.get_course, route).length / case.pick_rows(
        ride.time, case.find_reference_rows()
    )


@figure(
    "range.{route}.level_{level}",
    title="Range, {route_name}, level {level}",
    each=vary_route_and_level,
    **RANGE,
)
def range_by_level(case, route, rider, level):
    return compute_range(case, route, rider, level)


@figure(
    "range.{route}.{rider}",
    title="Range, {route_name}, {rider_name}",
    each=vary_route_and_rider,
    **RANGE,
)
def range_by_rider(case, route, rider):
    return compute_range(case, route, rider)


def compute_consumption_at_pace(case: Case) -> Array:
    """Consumption on the default route at the common average speed; shape (bikes, columns). [J/m]"""
    ride = case.compute_once(rides.ride_route, case.rider.id, case.route.id)
    length = case.compute_once(rides.get_course, case.route.id).length
    slowness, energy = ride.time / length, ride.battery_energy / length
    found = np.full((len(case.bikes), case.columns), np.nan)
    for index in range(len(case.bikes)):
        rows = np.flatnonzero(case.row_bike == index)
        for column in range(case.columns):
            order = rows[np.argsort(slowness[rows, column], kind="stable")]
            slow = slowness[order, column]
            if np.isfinite(slow).all() and slow[0] <= 1.0 / PACE <= slow[-1]:
                found[index, column] = np.interp(1.0 / PACE, slow, energy[order, column])
    return found


PACED = (
    "Levels (motor off counts as one) are mixed along the way until the average speed of the ride is the same for every "
    "bike, so that a law is not called frugal for merely being slow."
)


@figure(
    "energy.equal_pace",
    title="Consumption at equal pace",
    unit=units.CONSUMPTION,
    words=PACED,
    formula="consumption interpolated between levels in time per distance, at 1/v = 1/(18 km/h)",
    source=f"our definition; {ROUTE_SOURCE}",
    conditions="default route and rider; 18 km/h average on every bike",
    better="lower",
    worked=("mix of levels that averages 18 km/h: {value}",),
)
def equal_pace_consumption(case):
    return case.compute_once(compute_consumption_at_pace)


@figure(
    "range.equal_pace",
    title="Range at equal pace",
    unit=units.DISTANCE,
    words=PACED,
    formula="range = usable energy ÷ consumption at equal pace",
    source=f"our definition; {ROUTE_SOURCE}",
    conditions="default route and rider; 18 km/h average on every bike",
    better="higher",
    worked=("usable energy ÷ {energy.equal_pace} = {value}",),
)
def equal_pace_range(case):
    return compute_usable_energy(case, case.route.id) / case.compute_once(
        compute_consumption_at_pace
    )


def compute_bench_consumption(case: Case) -> Array:
    """Battery draw per distance while the motor gives twice the rider's power at the tyre; (bikes, columns). [J/m]"""
    rows = case.find_full_rows()
    built = case.compute_once(drives.build_drives, case.rider.id, False)
    drive = map_arrays(built.drive, lambda part: case.pick_rows(part, rows))
    wide = np.ones((len(case.bikes), case.columns))
    eta = drive.drivetrain_efficiency
    twice = np.where(
        drive.at_crank > 0, BENCH_MOTOR / (BENCH_RIDER * eta), BENCH_MOTOR / BENCH_RIDER
    )
    law = drive.law._replace(ratio=twice * wide, speed_limit=np.inf * wide)
    rider = traction.Pedaller(BENCH_RIDER * wide, 120.0 * wide, 140.0 * wide, 500.0 * wide)
    found = traction.traction(
        BENCH_SPEED * wide,
        60.0 * BENCH_SPEED / BENCH_CADENCE * wide,
        pedaller=rider,
        drive=drive._replace(law=law),
    )
    enough = found.motor_force * BENCH_SPEED >= 0.98 * BENCH_MOTOR
    return np.where(enough, found.battery_power / BENCH_SPEED, np.nan)


@figure(
    "range.two_hundred",
    title="Range at 200 % assistance",
    unit=units.DISTANCE,
    words=(
        "The rider gives 70 W and the motor 140 W at the tyre, at 20 km/h and 60 rpm: 7.0 Wh/km of motor work. What the "
        "battery gives for it follows from the motor's losses. The test bench procedure itself is not reproduced."
    ),
    formula="range = usable energy ÷ (P_battery at 140 W ÷ 20 km/h)",
    source=sources.ZIV,
    conditions="70 W rider, 140 W motor, 20 km/h, 60 rpm; default route's temperature",
    better="higher",
    worked=("140 W ÷ 20 km/h = 7.0 Wh/km at the tyre; with the motor's losses and standby the range is {value}",),
    each=use_reference_level,
)  # fmt: skip
def two_hundred(case):
    return compute_usable_energy(case, case.route.id) / case.compute_once(compute_bench_consumption)
