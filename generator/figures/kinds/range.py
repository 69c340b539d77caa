"""How far: range, consumption and average speed on the routes, as ridden, at equal pace, at 200 % assistance."""

from typing import Any

import numpy as np

from generator.compute import battery, traction
from generator.figures import sources, units
from generator.figures.inputs.case import Array, Case
from generator.figures.registry import figure
from generator.figures.simulation import drives, rides
from generator.figures.simulation.arrays import each_array
from generator.figures.variants import reference, routes, routes_levels, routes_riders

PACE = 18 / 3.6
"""Average speed at which bikes are compared. [m/s]  Our choice; every assisted bike can ride it."""
BENCH_RIDER, BENCH_MOTOR, BENCH_SPEED, BENCH_CADENCE = 70.0, 140.0, 20 / 3.6, 60.0
"""Rider and motor power at the tyre [W], speed [m/s] and cadence [rpm] of the ZIV R200 test conditions."""

ROUTE_SOURCE = f"{sources.ROAD_LOAD}; {sources.DC_MACHINE}; {sources.GUM}"
WHO = "{route_name}; {rider_name}; level {level_name}"
RIDE = (
    "the route is ridden in steps of distance: what is left of rider's and motor's push after climbing, air and "
    "tyres changes the speed; the motor's draw is added up"
)


def usable(case: Case, route: str) -> Array:
    """Energy that the battery gives on a day of the route's temperature; shape (bikes, columns). [J]"""
    factor = battery.capacity_factor(case.input("road.temperature", route=route))
    return battery.usable_energy(
        case["battery.energy"],
        usable_fraction=case["battery.usable_share"],
        capacity_factor=factor,
        age_factor=case["battery.age"],
    )


def level_rows(case: Case, level: int | None):
    if level is None:
        return case.reference_rows()
    return case.numbered_rows(level - 1)


def consumption_of(case: Case, route: str, rider: str, level: int | None = None) -> Array:
    """Battery energy per distance; shape (bikes, columns). [J/m]"""
    ride = case.shared(rides.totals, rider, route)
    length = case.shared(rides.grid, route).length
    return case.pick(ride.battery_energy, level_rows(case, level)) / length


def range_of(case: Case, route: str, rider: str, level: int | None = None) -> Array:
    return usable(case, route) / consumption_of(case, route, rider, level)


def ride_parts(case: Case, route: str, rider: str, level: int | None = None) -> dict[str, Any]:
    """What the battery gave on the route, and the route's length."""
    length = case.shared(rides.grid, route).length
    consumption = consumption_of(case, route, rider, level)
    return {
        "drawn": (consumption * length, units.ENERGY),
        "length": (np.full_like(consumption, length), units.DISTANCE),
        "consumption": (consumption, units.CONSUMPTION),
    }


def range_parts(case: Case, route: str, rider: str, level: int | None = None) -> dict[str, Any]:
    """The same, with the energy of the battery on a day of the route's temperature."""
    warmth = case.input("road.temperature", route=route)
    return {
        **ride_parts(case, route, rider, level),
        "usable": (usable(case, route), units.ENERGY),
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
    "parts": range_parts,
}  # fmt: skip


@figure(
    "range.{route}",
    title="Range, {route_name}",
    each=routes,
    headline=True,
    sentence=lambda value, text: f"A full battery lasts for about {text} of this road.",
    **RANGE,
)
def range_by_route(case, route, rider):
    return range_of(case, route, rider)


@figure(
    "energy.{route}",
    title="Consumption, {route_name}",
    each=routes,
    unit=units.CONSUMPTION,
    words="What the battery gives on the route, divided by its length; " + RIDE + ".",
    formula="consumption = ∫ P_battery dt ÷ length",
    source=ROUTE_SOURCE,
    conditions=WHO,
    better="lower",
    worked=("{part.drawn} from the battery ÷ {part.length} of route = {value}",),
    parts=ride_parts,
)
def consumption(case, route, rider):
    return consumption_of(case, route, rider)


@figure(
    "speed.{route}",
    title="Average speed, {route_name}",
    each=routes,
    unit=units.SPEED,
    words="Length of the route over riding time, starts and stops included, waiting left out.",
    formula="average speed = length ÷ ∫ dt",
    source=ROUTE_SOURCE,
    conditions=WHO,
    worked=("length of the route ÷ riding time = {value}",),
)
def average_speed(case, route, rider):
    ride = case.shared(rides.totals, rider, route)
    return case.shared(rides.grid, route).length / case.pick(ride.time, case.reference_rows())


@figure(
    "range.{route}.level_{level}",
    title="Range, {route_name}, level {level}",
    each=routes_levels,
    **RANGE,
)
def range_by_level(case, route, rider, level):
    return range_of(case, route, rider, level)


@figure(
    "range.{route}.{rider}", title="Range, {route_name}, {rider_name}", each=routes_riders, **RANGE
)
def range_by_rider(case, route, rider):
    return range_of(case, route, rider)


def at_pace(case: Case) -> Array:
    """Consumption on the default route at the common average speed; shape (bikes, columns). [J/m]"""
    ride = case.shared(rides.totals, case.rider.id, case.route.id)
    length = case.shared(rides.grid, case.route.id).length
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
    return case.shared(at_pace)


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
    return usable(case, case.route.id) / case.shared(at_pace)


def bench_consumption(case: Case) -> Array:
    """Battery draw per distance while the motor gives twice the rider's power at the tyre; (bikes, columns). [J/m]"""
    rows = case.full_rows()
    built = case.shared(drives.engine, case.rider.id, False)
    drive = each_array(built.drive, lambda part: case.pick(part, rows))
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
    each=reference,
)  # fmt: skip
def two_hundred(case):
    return usable(case, case.route.id) / case.shared(bench_consumption)
