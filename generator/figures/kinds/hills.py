"""Figures of climbing: speed on grades, steepest grade held and restarted on, motor heat, lift and slip of wheels."""

from typing import Any

import numpy as np

from generator.compute import assist, hills, road
from generator.compute.rider import GRINDING_CADENCE
from generator.compute.road import STANDARD_GRAVITY
from generator.figures import sources, units
from generator.figures.inputs.case import Array, Case
from generator.figures.kinds.gears import find_lowest_development
from generator.figures.registry import FigureVariant, figure
from generator.figures.simulation import drives, rides, steady
from generator.figures.simulation.arrays import find_places, interpolate_at_speed
from generator.figures.variants import use_full_level
from generator.specs.units import kmh

WALKING = kmh(6)
"""Slowest speed at which a grade counts as held. [m/s]"""
CREEP = kmh(4)
"""Speed at which help must carry the bike after a restart. [m/s]"""
LONG_HILL = 0.10
"""Grade at which the motor's endurance is computed. [-]"""
LONGEST = 7200.0
"""Longest endurance published: two hours. [s]"""
ROAD = f"{sources.ROAD_LOAD}; {sources.DC_MACHINE}"


def find_speeds_on_grade(case: Case, grade: float) -> Array:
    """Steady speed on a grade at the highest level; shape (bikes, columns). [m/s]"""
    return case.pick_rows(
        case.compute_once(steady.get_speed_on_grade, grade), case.find_full_rows()
    )


def list_grades(case: Case):
    for percent in (6, 10):
        yield FigureVariant((("percent", percent),), level="full")


@figure(
    "hills.speed_{percent}",
    title="Speed on a {percent} % climb",
    unit=units.SPEED,
    words="Where the push of rider and motor balances the hill, the air and the tyres, without wind.",
    formula="F_rider(v) + F_motor(v) = m g (sin θ + Crr cos θ) + ½ ρ CdA v²",
    source=ROAD,
    conditions="highest level, {level_name}; default rider at everyday effort; no wind",
    better="higher",
    each=list_grades,
    worked=("speed at which push equals resistance: {value}",),
)
def speed_on_grade(case, percent):
    return find_speeds_on_grade(case, percent / 100)


def compute_steepest_grade(case: Case, rider: str | None = None) -> Array:
    """Steepest grade held at 6 km/h and 45 rpm or more; shape (bikes, columns). [-]"""
    grades = case.compute_once(
        steady.compute_hill_grades, rider or case.rider.id
    ).spread_over_columns(case)
    slowest = np.maximum(WALKING, GRINDING_CADENCE / 60.0 * find_lowest_development(case))
    at_slowest = interpolate_at_speed(grades, slowest, step=drives.SPEED_STEP)
    beyond = np.where(slowest[..., None] < drives.SPEEDS, grades, -np.inf).max(axis=-1)
    return np.where(np.isnan(slowest), np.nan, np.maximum(at_slowest, beyond))


def list_force_parts(case: Case) -> dict[str, Any]:
    """Forces at the speed that decides the steepest grade, for the derivation."""
    grades = case.compute_once(steady.compute_hill_grades, case.rider.id).values[:, 0]
    found, _ = case.compute_once(drives.compute_traction, case.rider.id, True)
    slowest = np.maximum(WALKING, GRINDING_CADENCE / 60.0 * find_lowest_development(case))[:, :1]
    allowed = np.where(slowest - drives.SPEED_STEP <= drives.SPEEDS, grades, -np.inf)
    at = np.argmax(allowed, axis=1)
    place = np.arange(len(case.bikes))
    speed = np.maximum(drives.SPEEDS[at], slowest[:, 0])
    here = case.compute_once(rides.build_still_road, case.rider.id, case.route.id)
    weight = here.mass[:, 0] * STANDARD_GRAVITY
    air = 0.5 * here.air_density[:, 0] * here.cda[:, 0] * speed**2
    values = {
        "speed": (speed, units.SPEED),
        "rider": (found.rider_force[place, 0, at], units.FORCE),
        "motor": (found.motor_force[place, 0, at], units.FORCE),
        "weight": (weight, units.FORCE),
        "air": (air, units.FORCE),
        "tyres": (weight * here.crr[:, 0], units.FORCE),
    }
    return {name: (value[:, None], unit) for name, (value, unit) in values.items()}


@figure(
    "hills.steepest",
    title="Steepest grade held",
    unit=units.GRADE,
    words="The steepest grade on which the bike keeps 6 km/h or more while the legs turn at 45 rpm or more, for a few minutes.",
    formula="max over v of θ: F(v) = m g (sin θ + Crr cos θ) + ½ ρ CdA v²",
    source=f"{ROAD}; 45 rpm: {sources.PRACTICE}",
    conditions="highest level, {level_name}; default rider at the effort of a short hill; no wind",
    better="higher",
    headline=True,
    each=use_full_level,
    worked=(
        "at {part.speed}, where the push is greatest for the grade: rider {part.rider}, motor {part.motor}",
        "weight {part.weight}; air takes {part.air}, tyres {part.tyres}",
        "sin θ + Crr cos θ = (push − air) ÷ weight, so the grade is {value}",
    ),
    parts=list_force_parts,
    sentence=lambda value, text: f"It keeps going on {text}, with some effort of the rider.",
)  # fmt: skip
def steepest_grade(case):
    return case.compute_once(compute_steepest_grade)


def compute_unaided_grade(case: Case) -> Array:
    """Grade on which the rider can turn the crank unaided until help comes; shape (bikes, columns). [-]

    A foot's weight turns the crank best near the horizontal: over an arc α about it, the mean is peak × sin(α/2)/(α/2).
    """
    peak = case["rider.start_torque"] * case["rider.mass"] * np.pi / 2.0
    arc = np.minimum(
        assist.take_up_angle(case["assist.start_pulses"], case["assist.pulses"]), np.pi
    )
    torque = peak * np.sinc(arc / (2.0 * np.pi))
    force = torque * 2.0 * np.pi / find_lowest_development(case) * case["drivetrain.efficiency"]
    here = case.compute_once(rides.build_still_road, case.rider.id, case.route.id)
    return road.steady_grade(
        0.0,
        force / here.factor,
        mass=here.mass,
        crr=here.crr,
        cda=here.cda,
        air_density=here.air_density,
    )


def compute_restart_grade(case: Case) -> Array:
    """Steepest grade on which the bike sets off again; shape (bikes, columns). [-]"""
    grades = case.compute_once(steady.compute_hill_grades, case.rider.id)
    at = round(CREEP / drives.SPEED_STEP)
    helped = grades._replace(values=grades.values[..., at]).spread_over_columns(case)
    throttle = np.array([[bike.assist.throttle is not None] for bike in case.bikes])
    moving = np.minimum(helped, case.compute_once(compute_steepest_grade))
    return np.where(throttle, moving, np.minimum(compute_unaided_grade(case), moving))


@figure(
    "hills.restart",
    title="Steepest restart",
    bounds=(0.0, 2.0),
    unit=units.GRADE,
    words=(
        "The steepest grade on which one can set off: first the rider alone must turn the crank until the sensor answers, then "
        "rider and motor together must carry the bike. A throttle spares the first part."
    ),
    formula="min(grade of the rider alone over the take-up angle, grade of both at 4 km/h)",
    source=f"{ROAD}; take-up: {sources.PRACTICE}",
    conditions="lowest gear; highest level, {level_name}; default rider",
    better="higher",
    headline=True,
    each=use_full_level,
    worked=(
        "alone: {rider.start_torque} per kilogram of {rider.mass} in {gears.lowest} until {assist.take_up_angle} are turned",
        "the lower of that and what both hold together: {value}",
    ),
    sentence=lambda value, text: f"A start on a climb works up to about {text}.",
)  # fmt: skip
def restart_grade(case):
    return case.compute_once(compute_restart_grade)


def compute_endurance(case: Case) -> Array:
    """Time on the long hill until the winding reaches its limit; shape (bikes, columns). [s]"""
    rows = case.find_full_rows()
    speed = case.compute_once(find_speeds_on_grade, LONG_HILL)
    found, columns = case.compute_once(drives.compute_traction, case.rider.id, False)
    loss = case.pick_rows(found.copper_loss, rows)[:, find_places(np.arange(case.columns), columns)]
    minutes = hills.minutes_to_limit(
        interpolate_at_speed(loss, speed, step=drives.SPEED_STEP),
        thermal_resistance=case["motor.heat_resistance"],
        time_constant=case["motor.heat_time"],
        ambient=case["road.temperature"],
        limit=case["motor.heat_limit"],
    )
    return np.where(np.isnan(speed), np.nan, np.minimum(60.0 * minutes, LONGEST))


@figure(
    "hills.minutes",
    title="Time on a 10 % climb before the motor gives up power",
    short="Minutes on 10 %",
    bounds=(0.0, LONGEST),
    unit=units.MINUTES,
    words=(
        "The winding warms towards a temperature set by its loss; most controllers give up power before it harms the motor. "
        "Told up to two hours. The interval is wide because makers publish neither winding nor cooling."
    ),
    formula="t = −τ ln(1 − (T_limit − T_air)/(P_copper R_th))",
    source="one thermal mass; resistance, time constant and limit: values from memory",
    conditions="highest level, {level_name}; default rider at everyday effort; no wind",
    better="higher",
    each=use_full_level,
    worked=(
        "limit {motor.heat_limit}, air {road.temperature}, {motor.heat_resistance}, time constant {motor.heat_time}",
        "time at the steady speed on 10 %: {value}",
    ),
    sentence=lambda value, text: (
        "Heat does not stop it within two hours of climbing."
        if value >= LONGEST
        else f"After about {text} of climbing, the motor is likely to give up power."
    ),
)  # fmt: skip
def minutes(case):
    return case.compute_once(compute_endurance)


def locate_centre_of_gravity(case: Case) -> tuple[Array, Array, Array]:
    """Centre of gravity behind the front, ahead of the rear axle, and height; each (bikes, columns). [m]"""
    base = case["bike.wheelbase"]
    ahead = case["bike.cog_behind"] * base
    return base - ahead, ahead, case["bike.cog_height"]


@figure(
    "hills.lift",
    title="Grade at which the front wheel lifts",
    short="Front lifts at",
    unit=units.GRADE,
    words="On a slope so steep, with the rider seated, the common centre of gravity stands over the rear wheel.",
    formula="tan θ = b ÷ h",
    source=sources.STATICS,
    better="higher",
    conditions="rider seated, no load",
    worked=("{bike.cog_behind} of {bike.wheelbase} ÷ {bike.cog_height} = {value}",),
)
def lift(case):
    _, ahead, height = locate_centre_of_gravity(case)
    return hills.lift_grade(ahead, height)


@figure(
    "hills.slip",
    title="Grade at which the driven wheel slips",
    short="Wheel slips at",
    unit=units.GRADE,
    words=(
        "The wheel that the motor drives slips when the hill asks for more than its share of the weight times the grip. Where "
        "the front wheel would lift before that, the grade of the lift stands here."
    ),
    formula="rear: tan θ = μ a ÷ (L − μ h); front: tan θ = μ b ÷ (L + μ h); at most b ÷ h",
    source=sources.STATICS,
    better="higher",
    conditions="dry road; rider seated",
    sentence=lambda value, text: (
        f"Grip or balance ends at {text}: where both grades are one, the front wheel lifts first."
    ),
    worked=("grip {road.grip}, wheelbase {bike.wheelbase}, height {bike.cog_height}: {value}",),
)
def slip(case):
    before, ahead, height = locate_centre_of_gravity(case)
    grip, base = case["road.grip"], case["bike.wheelbase"]
    found = np.full((len(case.bikes), case.columns), np.nan)
    for index, bike in enumerate(case.bikes):
        found[index] = hills.slip_grade(
            bike.motor.place,
            mu=grip[index],
            a=before[index],
            b=ahead[index],
            h=height[index],
            wheelbase=base[index],
        )
    return np.minimum(found, hills.lift_grade(ahead, height))
