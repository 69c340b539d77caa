"""Figures of the assist character, from standard manoeuvres."""

from typing import Any

import numpy as np

from generator.compute import assist, traction
from generator.figures import sources, units
from generator.figures.inputs.case import Array, Case
from generator.figures.registry import figure
from generator.figures.simulation import drives, manoeuvres, rides
from generator.figures.simulation.arrays import map_arrays
from generator.figures.variants import use_reference_level
from generator.specs.units import kmh

FOLLOW_SPEED = kmh(18)
"""Speed at which the motor's answer to effort is told; lower where the level's limit is lower. [m/s]"""
EFFORTS = np.linspace(40.0, 200.0, 17)
"""Rider's powers over which it is told. [W]"""

LAUNCH: dict[str, Any] = {
    "source": f"simulated launch; {sources.ROAD_LOAD}; {sources.DC_MACHINE}; timing: {sources.PRACTICE}",
    "conditions": "from rest on the flat, 60 W push, level {level_name}, no wind",
    "each": use_reference_level,
}


@figure(
    "assist.take_up_angle",
    title="Take-up: crank angle before help",
    short="Take-up angle",
    unit=units.ANGLE,
    words="How far the crank turns before the sensor reports pedalling.",
    formula="angle = 360° × pulses before help ÷ pulses in a turn",
    source=f"{sources.IDENTITY}; pulses: {sources.PRACTICE} where the sheet is silent",
    better="lower",
    headline=True,
    worked=("360° × {assist.start_pulses} ÷ {assist.pulses} = {value}",),
    sentence=lambda value, text: (
        f"Help comes almost at once, after {text} of the crank."
        if value < 0.8
        else f"The crank turns {text} before help comes: noticeable at traffic lights."
    ),
)
def take_up_angle(case):
    return assist.take_up_angle(case["assist.start_pulses"], case["assist.pulses"])


@figure(
    "assist.take_up_time",
    title="Take-up: time to half the help",
    short="Take-up time",
    unit=units.SECONDS,
    words="From the first push to the moment when the motor gives half of the most it gives in this launch.",
    formula="t: F_motor(t) = ½ max F_motor",
    better="lower",
    worked=("{assist.take_up_angle} of crank, then the ramp of {assist.ramp}: {value}",),
    sentence=lambda value, text: f"From the first push to real help it takes {text}.",
    **LAUNCH,
)
def take_up_time(case):
    return case.compute_once(manoeuvres.simulate_launch).take_up


@figure(
    "assist.launch_time",
    title="Launch: time to 15 km/h",
    short="Launch time",
    unit=units.SECONDS,
    words="From rest to 15 km/h with a steady push of 60 W, no more than a stroll's effort.",
    formula="∫ a dt = 15 km/h",
    better="lower",
    worked=("simulated in steps of 0.02 s: {value}",),
    sentence=lambda value, text: f"With a light push it is at 15 km/h in {text}.",
    **LAUNCH,
)
def launch_time(case):
    return case.compute_once(manoeuvres.simulate_launch).time


@figure(
    "assist.launch_distance",
    title="Launch: distance to 15 km/h",
    short="Launch distance",
    unit=units.LENGTH,
    words="How far the bike has gone when it reaches 15 km/h with a steady push of 60 W.",
    formula="∫ v dt until 15 km/h",
    better="lower",
    sentence=lambda value, text: f"It needs {text} of road for that.",
    worked=("simulated in steps of 0.02 s: {value}",),
    **LAUNCH,
)
def launch_distance(case):
    return case.compute_once(manoeuvres.simulate_launch).distance


@figure(
    "assist.peak_acceleration",
    title="Launch: highest acceleration",
    short="Peak acceleration",
    unit=units.ACCELERATION,
    words="The most that the bike gains in speed per second during the launch, once help has come.",
    formula="max of F_motor ÷ m_eff + rider's part",
    worked=("simulated in steps of 0.02 s: {value}",),
    sentence=lambda value, text: f"The strongest pull off the line is {text}.",
    **LAUNCH,
)
def peak_acceleration(case):
    return case.compute_once(manoeuvres.simulate_launch).acceleration


@figure(
    "assist.peak_jerk",
    title="Launch: how abruptly the motor comes in",
    short="Peak jerk",
    unit=units.JERK,
    words="The fastest growth of the motor's push during the launch, per mass: high is a jolt, low is a swell.",
    formula="max of dF_motor/dt ÷ m_eff",
    worked=("simulated, over 0.1 s: {value}",),
    sentence=lambda value, text: (
        "The motor comes in with a jolt." if value > 1.5 else "The motor comes in as a swell."
    ),
    **LAUNCH,
)
def peak_jerk(case):
    return case.compute_once(manoeuvres.simulate_launch).jerk


RUN_ON: dict[str, Any] = {
    "source": f"{sources.EN_15194} for what is allowed; timing: {sources.PRACTICE} where the sheet is silent",
    "better": "lower",
}


@figure(
    "assist.run_on_time",
    title="Run-on: time until the motor rests",
    short="Run-on time",
    unit=units.SECONDS,
    words="From the pedals' stop to the motor's: the missing pulse must be noticed, then the push falls.",
    formula="t = delay + fall",
    worked=("{assist.delay} + {assist.fall} = {value}",),
    sentence=lambda value, text: f"When the pedals stop, the motor rests after {text}.",
    **RUN_ON,
)
def run_on_time(case):
    return case["assist.delay"] + case["assist.fall"]


@figure(
    "assist.run_on_distance",
    title="Run-on: distance at 20 km/h",
    short="Run-on distance",
    unit=units.LENGTH,
    words=(
        "How far the bike goes at 20 km/h before the motor rests. The standard for 25 km/h bikes allows 2 m, or 5 m "
        "with brake switches."
    ),
    formula="distance = 20 km/h × (delay + fall)",
    worked=("20 km/h × {assist.run_on_time} = {value}",),
    sentence=lambda value, text: (
        f"At 20 km/h the motor pushes on for {text} after the pedals stop."
    ),
    **RUN_ON,
)
def run_on_distance(case):
    return kmh(20) * (case["assist.delay"] + case["assist.fall"])


def compute_motor_response(case: Case, rows, speed: Array) -> Array:
    """Motor power at the tyre for each effort of the rider, in as many columns of the case as `speed` has.

    Shape (bikes, columns, efforts). [W]
    """
    first = speed.shape[1]
    built = case.compute_once(drives.build_drives, case.rider.id, False)

    def take_columns(part: Array) -> Array:
        return case.pick_rows(part[:, :first], rows)[:, :, None]

    rider = map_arrays(built.pedaller, take_columns)._replace(power=EFFORTS, torque_limit=np.inf)
    development = speed[..., None] / case["rider.cadence"][:, :first, None]
    found = traction.traction(
        speed[..., None], development, pedaller=rider, drive=map_arrays(built.drive, take_columns)
    )
    return np.maximum(found.motor_force, 0.0) * speed[..., None]


def get_level_limit(case: Case, rows) -> Array:
    """The level's own speed limit, infinite when it sets none; shape (bikes, columns). [m/s]"""
    return case.pick_rows(case.get_level_input("level.speed"), rows)


def choose_follow_speed(limit: Array) -> Array:
    """Speed at which the answer to effort is told under a level's limit: clear of the taper, and above zero. [m/s]"""
    return np.minimum(FOLLOW_SPEED, np.maximum(limit - kmh(3.0), limit / 2.0))


def fit_motor_response(case: Case) -> tuple[Array, Array]:
    """Slope and R² of motor power over rider power; each (bikes, columns). [-]"""
    rows = case.find_reference_rows()
    speed = choose_follow_speed(get_level_limit(case, rows))
    power = compute_motor_response(
        case, rows, np.broadcast_to(speed, (len(case.bikes), case.columns))
    )
    effort = EFFORTS - EFFORTS.mean()
    spread = power - power.mean(axis=-1, keepdims=True)
    slope = (spread * effort).sum(axis=-1) / (effort**2).sum()
    total = (spread**2).sum(axis=-1)
    fit = slope**2 * (effort**2).sum() / np.where(total > 1e-9, total, 1.0)
    return slope, np.where(total > 1e-9, fit, np.where(np.isnan(total), np.nan, 0.0))


FOLLOW: dict[str, Any] = {
    "source": f"our definition; {sources.DC_MACHINE}",
    "conditions": (
        "18 km/h or 3 km/h under the level's limit (half of one under 6 km/h), 40 to 200 W, comfortable cadence, "
        "level {level_name}"
    ),
    "each": use_reference_level,
    "logarithmic": False,
}


@figure(
    "assist.follow_slope",
    title="Follow: motor watts per rider watt",
    short="Follow",
    unit=units.RATIO,
    words="How much the motor adds for each watt more of the rider. 0 means that it does not care how hard one pushes.",
    formula="least-squares slope of P_motor over P_rider",
    worked=("slope over 40 to 200 W: {value}",),
    sentence=lambda value, text: (
        "The motor gives the same, however hard one pushes."
        if abs(value) < 0.05
        else f"For each watt more of the rider, the motor adds about {text}."
    ),
    **FOLLOW,
)
def follow_slope(case):
    return case.compute_once(fit_motor_response)[0]


@figure(
    "assist.follow_fit",
    title="Follow: how closely",
    bounds=(0.0, 1.0),
    unit=units.RATIO,
    words="Share of the motor's changes that the rider's effort explains (R²); 0 when it does not change at all.",
    formula="R² of that line",
    sentence=lambda value, text: (
        "The motor pays no heed to effort."
        if value < 0.05
        else "The help grows in step with the effort."
        if value > 0.9
        else "The help follows the effort up to a limit, then no further."
    ),
    worked=("R² over 40 to 200 W: {value}",),
    **FOLLOW,
)
def follow_fit(case):
    return case.compute_once(fit_motor_response)[1]


def list_work_parts(case: Case) -> dict[str, Any]:
    """Work of rider and motor on the default route, for the derivation."""
    ride = case.compute_once(rides.ride_route, case.rider.id, case.route.id)
    rows = case.find_reference_rows()
    return {
        "rider": (case.pick_rows(ride.rider_energy, rows), units.ENERGY),
        "motor": (case.pick_rows(ride.motor_work, rows), units.ENERGY),
    }


@figure(
    "assist.share",
    title="Rider's share of the work",
    short="Rider's share",
    bounds=(0.0, 1.0),
    unit=units.SHARE,
    words="The rider's work at the pedals over the rider's and the motor's work together, on the default route.",
    formula="share = W_rider ÷ (W_rider + W_motor)",
    source=f"{sources.ROAD_LOAD}; {sources.DC_MACHINE}",
    conditions="default route and rider; level {level_name}",
    headline=True,
    logarithmic=False,
    each=use_reference_level,
    worked=("{part.rider} of the rider ÷ ({part.rider} + {part.motor} of the motor) = {value}",),
    parts=list_work_parts,
    sentence=lambda value, text: f"The rider does {text} of the work, the motor the rest.",
)
def rider_share(case):
    ride = case.compute_once(rides.ride_route, case.rider.id, case.route.id)
    rows = case.find_reference_rows()
    rider, motor = case.pick_rows(ride.rider_energy, rows), case.pick_rows(ride.motor_work, rows)
    return rider / (rider + motor)
