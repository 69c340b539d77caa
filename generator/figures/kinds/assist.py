"""How it feels: the assist character, as numbers from standard manoeuvres."""

import numpy as np

from generator.compute import assist, traction
from generator.compute.range import steady_speed
from generator.figures import drives, manoeuvres, rides, sources, units
from generator.figures.case import Array, Case
from generator.figures.kinds.range import level_rows
from generator.figures.registry import figure
from generator.figures.variants import every_level, reference

FOLLOW_SPEED = 18 / 3.6
"""Speed at which the motor's answer to effort is told; lower where the level's limit is lower. [m/s]"""
EFFORTS = np.linspace(40.0, 200.0, 17)
"""Rider's powers over which it is told. [W]"""
KMH = 1 / 3.6

LAUNCH = {
    "source": f"simulated launch; {sources.ROAD_LOAD}; {sources.DC_MACHINE}; timing: {sources.PRACTICE}",
    "conditions": "from rest on the flat, 60 W push, level {level_name}, no wind",
    "each": reference,
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


def take_up(case: Case) -> Array:
    played = case.shared(manoeuvres.launch)
    half = 0.5 * played.motor_force.max(axis=0)
    found = manoeuvres.crossing(played.motor_force, np.maximum(half, 1e-6), played.time)
    return np.where(half > 0.0, found, np.nan)


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
    return case.shared(take_up)


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
    played = case.shared(manoeuvres.launch)
    return manoeuvres.crossing(played.speed, manoeuvres.LAUNCH_SPEED, played.time)


@figure(
    "assist.launch_distance",
    title="Launch: distance to 15 km/h",
    short="Launch distance",
    unit=units.LENGTH,
    words="How far the bike has gone when it reaches 15 km/h with a steady push of 60 W.",
    formula="∫ v dt until 15 km/h",
    better="lower",
    worked=("simulated in steps of 0.02 s: {value}",),
    **LAUNCH,
)
def launch_distance(case):
    played = case.shared(manoeuvres.launch)
    return manoeuvres.crossing(played.speed, manoeuvres.LAUNCH_SPEED, played.distance)


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
    played = case.shared(manoeuvres.launch)
    gained = np.diff(played.speed, axis=0) / manoeuvres.STEP
    return gained[5:].max(axis=0)


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
    played = case.shared(manoeuvres.launch)
    span = 5
    growth = (played.motor_force[span:] - played.motor_force[:-span]) / (span * manoeuvres.STEP)
    return growth.max(axis=0) / played.inertia


RUN_ON = {
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
    **RUN_ON,
)
def run_on_time(case):
    return case["assist.delay"] + case["assist.fall"]


@figure(
    "assist.run_on_distance",
    title="Run-on: distance at 20 km/h",
    short="Run-on distance",
    unit=units.LENGTH,
    words="How far the bike goes at 20 km/h before the motor rests. The standard for 25 km/h bikes allows 2 m, or 5 m with brake switches.",
    formula="distance = 20 km/h × (delay + fall)",
    worked=("20 km/h × {assist.run_on_time} = {value}",),
    sentence=lambda value, text: f"At 20 km/h the motor pushes on for {text} after the pedals stop.",
    **RUN_ON,
)
def run_on_distance(case):
    return 20 * KMH * (case["assist.delay"] + case["assist.fall"])


def answers(case: Case, rows, speed: Array) -> Array:
    """Motor power at the tyre for each effort of the rider; shape (bikes, columns, efforts). [W]"""
    built = case.shared(drives.engine, case.rider.id, False)

    def cut(part):
        if isinstance(part, tuple):
            return type(part)(*(cut(each) for each in part))
        return case.pick(part, rows)[:, :, None]

    rider = cut(built.pedaller)._replace(power=EFFORTS, torque_limit=np.inf)
    development = speed[..., None] / case["rider.cadence"][:, :, None]
    found = traction.traction(
        speed[..., None], development, pedaller=rider, drive=cut(built.drive)
    )
    return np.maximum(found.motor_force, 0.0) * speed[..., None]


def level_limit(case: Case, rows) -> Array:
    """The level's own speed limit, infinite when it sets none; shape (bikes, columns). [m/s]"""
    return case.pick(case.level("level.speed"), rows)


def follow(case: Case) -> tuple[Array, Array]:
    """Slope and R² of motor power over rider power; each (bikes, columns)."""
    rows = case.reference_rows()
    speed = np.minimum(FOLLOW_SPEED, level_limit(case, rows) - 3.0 * KMH)
    power = answers(case, rows, np.broadcast_to(speed, (len(case.bikes), case.columns)))
    effort = EFFORTS - EFFORTS.mean()
    spread = power - power.mean(axis=-1, keepdims=True)
    slope = (spread * effort).sum(axis=-1) / (effort**2).sum()
    total = (spread**2).sum(axis=-1)
    fit = slope**2 * (effort**2).sum() / np.where(total > 1e-9, total, 1.0)
    return slope, np.where(total > 1e-9, fit, np.where(np.isnan(total), np.nan, 0.0))


FOLLOW = {
    "source": f"our definition; {sources.DC_MACHINE}",
    "conditions": "18 km/h or 3 km/h under the level's limit, 40 to 200 W, comfortable cadence, level {level_name}",
    "each": reference,
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
    return case.shared(follow)[0]


@figure(
    "assist.follow_fit",
    title="Follow: how closely",
    unit=units.RATIO,
    words="Share of the motor's changes that the rider's effort explains (R²); 0 when it does not change at all.",
    formula="R² of that line",
    worked=("R² over 40 to 200 W: {value}",),
    **FOLLOW,
)
def follow_fit(case):
    return case.shared(follow)[1]


def push_at(case: Case, rows, speed: Array) -> Array:
    """Motor power at the tyre at a speed, default rider; shape (bikes, columns). [W]"""
    found, columns = case.shared(drives.at_speeds, case.rider.id, False)
    wide = np.zeros(case.columns, dtype=np.intp)
    wide[columns] = np.arange(len(columns))
    force = case.pick(found.motor_force, rows)[:, wide]
    place = np.clip(np.where(np.isfinite(speed), speed, 0.0) / drives.SPEED_STEP, 0, len(drives.SPEEDS) - 1.01)
    node = place.astype(np.intp)
    low = np.take_along_axis(force, node[..., None], axis=-1)[..., 0]
    high = np.take_along_axis(force, node[..., None] + 1, axis=-1)[..., 0]
    return np.maximum(low + (high - low) * (place - node), 0.0) * speed


def wall(case: Case, limit: Array, rows) -> Array:
    """Motor power lost within ±1 km/h of a limit; shape (bikes, columns). [W]"""
    return push_at(case, rows, limit - KMH) - push_at(case, rows, limit + KMH)


def own_wall(case: Case) -> Array:
    rows = case.reference_rows()
    limit = level_limit(case, rows)
    none = np.isinf(limit)
    lost = wall(case, np.where(none, 5.0, limit), rows)
    return np.where(none, 0.0 * case["motor.assisted_speed"], lost)


@figure(
    "assist.wall",
    title="Wall: power lost at the level's own limit",
    short="Wall",
    unit=units.POWER,
    words=(
        "How many watts the motor drops between 1 km/h under and 1 km/h over the speed limit of the level. A level without a "
        "speed limit of its own has no wall before the bike's cut-off: 0 W."
    ),
    formula="wall = P_motor(limit − 1 km/h) − P_motor(limit + 1 km/h)",
    source=f"our definition; {sources.DC_MACHINE}; taper: {sources.PRACTICE}",
    conditions="default rider at everyday effort; level {level_name}",
    better="lower",
    headline=True,
    logarithmic=False,
    each=reference,
    worked=("level's limit {level.speed}, fade over {assist.taper}: {value}",),
    sentence=lambda value, text: (
        "The level has no speed limit of its own, so there is no wall before the cut-off."
        if value < 1.0
        else f"At the level's speed limit {text} of help vanish within two kilometres an hour."
    ),
)  # fmt: skip
def wall_power(case):
    return case.shared(own_wall)


@figure(
    "assist.cutoff_wall",
    title="Power lost at the bike's cut-off",
    short="Cut-off",
    unit=units.POWER,
    words="How many watts the motor drops between 1 km/h under and 1 km/h over the speed to which it assists, at this level.",
    formula="P_motor(assisted speed − 1 km/h) − P_motor(assisted speed + 1 km/h)",
    source=f"our definition; {sources.DC_MACHINE}; taper: {sources.PRACTICE}",
    conditions="default rider at everyday effort; level {level_name}",
    logarithmic=False,
    each=reference,
    worked=("{motor.assisted_speed}, fade over {assist.taper}: {value}",),
)
def cutoff_wall(case):
    return wall(case, case["motor.assisted_speed"], case.reference_rows())


def effort_beyond(case: Case) -> Array:
    """Extra rider's power to go from 1 km/h under to 1 km/h over the limit; shape (bikes, columns). [W]"""
    rows = case.reference_rows()
    own = level_limit(case, rows)
    limit = np.where(np.isinf(own), case["motor.assisted_speed"], own)
    here = case.shared(rides.road, case.rider.id, case.route.id)
    weight = here.mass * 9.80665 * here.crr

    def needed(speed: Array) -> Array:
        force = here.factor * (weight + 0.5 * here.air_density * here.cda * speed**2)
        motor = push_at(case, rows, speed) / speed
        return np.maximum(force - motor, 0.0) * speed / case["drivetrain.efficiency"]

    return needed(limit + KMH) - needed(limit - KMH)


@figure(
    "assist.wall_effort",
    title="Wall: extra effort to go 2 km/h faster",
    short="Effort past the wall",
    unit=units.POWER,
    words=(
        "What the rider must add to ride 1 km/h over the limit instead of 1 km/h under it: the limit of the level, or the "
        "bike's where the level has none."
    ),
    formula="P_rider(limit + 1 km/h) − P_rider(limit − 1 km/h), each what the road asks less what the motor gives",
    source=f"our definition; {sources.ROAD_LOAD}",
    conditions="flat, no wind; level {level_name}",
    better="lower",
    logarithmic=False,
    each=reference,
    worked=("what the road asks less what the motor gives, over less under: {value}",),
    sentence=lambda value, text: f"To ride two kilometres an hour faster there, the legs must add {text}.",
)  # fmt: skip
def wall_effort(case):
    return case.shared(effort_beyond)


def cruise(case: Case) -> Array:
    """Steady speed on the flat without wind, by row; shape (rows, columns). [m/s]"""
    grades = case.shared(rides.steady_grades, case.rider.id, False)
    flat = grades.reshape(-1, grades.shape[-1])
    return steady_speed(flat, drives.SPEEDS, 0.0)[:, 0].reshape(grades.shape[:-1])


@figure(
    "assist.cruise.level_{level}",
    title="Cruising speed, level {level}",
    unit=units.SPEED,
    words="The steady speed on the flat at this level, with the default rider's everyday effort and no wind.",
    formula="F_rider(v) + F_motor(v) = resistance(v)",
    source=f"{sources.ROAD_LOAD}; {sources.DC_MACHINE}",
    conditions="flat, no wind; default rider; level {level_name}",
    each=every_level,
    worked=("speed at which push equals resistance: {value}",),
)
def cruising(case, level):
    return case.pick(case.shared(cruise), level_rows(case, level))


@figure(
    "assist.level_power.level_{level}",
    title="Share of full power, level {level}",
    unit=units.SHARE,
    words="The battery current that the level allows, over the controller's.",
    formula="share = A_level ÷ A_controller",
    source=sources.PRACTICE,
    conditions="level {level_name}",
    each=every_level,
    worked=("level's limit {level.current}, share {level.power}, of {motor.current_limit}: {value}",),
)
def level_power(case, level):
    full = case.by_row(case["motor.current_limit"])
    allowed = assist.level_current(
        current=case.level("level.current"), share=case.level("level.power"), full_current=full
    )
    return case.pick(assist.share_of_full(allowed, full), level_rows(case, level))


@figure(
    "assist.spacing",
    title="Spacing of the levels",
    short="Level spacing",
    unit=units.SPEED_STEP,
    words="How much faster the bike cruises per level, on the average from the lowest level to the highest.",
    formula="(cruising speed of the highest − of the lowest) ÷ (levels − 1)",
    source="our definition",
    conditions="flat, no wind; default rider",
    logarithmic=False,
    worked=("{assist.cruise.level_1} in the first level, then per step: {value}",),
    sentence=lambda value, text: (
        "The levels hardly differ in speed."
        if value < 0.2
        else f"Each level up is about {text} faster on the flat."
    ),
)
def spacing(case):
    speeds = case.shared(cruise)
    steps = np.array([[max(len(bike.assist.levels) - 1, 1)] for bike in case.bikes])
    several = np.array([[len(bike.assist.levels) > 1] for bike in case.bikes])
    low = case.pick(speeds, case.level_rows(lambda bike: 0))
    high = case.pick(speeds, case.full_rows())
    return np.where(several, (high - low) / steps, np.nan)


@figure(
    "assist.share",
    title="Rider's share of the work",
    short="Rider's share",
    unit=units.SHARE,
    words="The rider's work at the pedals over the rider's and the motor's work together, on the default route.",
    formula="share = W_rider ÷ (W_rider + W_motor)",
    source=f"{sources.ROAD_LOAD}; {sources.DC_MACHINE}",
    conditions="default route and rider; level {level_name}",
    headline=True,
    logarithmic=False,
    each=reference,
    worked=("rider's work ÷ (rider's + motor's work on the route) = {value}",),
    sentence=lambda value, text: f"The rider does {text} of the work, the motor the rest.",
)
def rider_share(case):
    ride = case.shared(rides.totals, case.rider.id, case.route.id)
    rows = case.reference_rows()
    rider, motor = case.pick(ride.rider_energy, rows), case.pick(ride.motor_work, rows)
    return rider / (rider + motor)
