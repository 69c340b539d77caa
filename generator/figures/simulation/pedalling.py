"""Rows of the diagrams of pedalling and help, from the model of the assist figures.

One turn of the crank, the first turn and a half from standstill, the run-on, and what a level sets; for one bike, or
for the typical machines where the slug is empty. Nominal inputs only. SI, rounded to five digits.
"""

from collections.abc import Iterable
from functools import cached_property
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from generator.compute import rider, traction
from generator.figures import show
from generator.figures.inputs import has_torque_law, levels
from generator.figures.inputs.case import Case
from generator.figures.kinds import assist
from generator.figures.simulation import drives, manoeuvres, typical
from generator.figures.simulation.arrays import interpolate_at_speed, map_arrays
from generator.specs.bike import Bike
from generator.specs.units import kmh

Array = NDArray[np.float64]
DiagramRows = list[dict[str, Any]]

CADENCE = 60.0
"""Cadence of the crank turn. [rpm]"""
SOFT, HARD = 60.0, 120.0
"""Rider's powers in the crank turn. [W]"""
QUICK_SPAN = np.pi / 4
"""An eighth of a turn, the quick average of the torque signal. [rad]  Our choice; no sheet states it."""
ANGLES = np.radians(np.arange(0.0, 361.0, 7.5))
"""Crank angles of the crank turn. [rad]"""
START_ANGLES = np.radians(np.arange(0.0, 541.0, 7.5))
"""Crank angles from standstill. [rad]"""
RUN_ON_SPEED = kmh(20)
"""As in `assist.run_on_distance`. [m/s]"""
SPEED_STEP = kmh(0.5)
"""Between the speeds of the levels' powers. [m/s]"""


class Pedalling:
    """Makes the rows of a diagram, by slug and name; the typical machines are computed on first use."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.place = {bike.slug: index for index, bike in enumerate(case.bikes)}

    @cached_property
    def typical(self) -> Case:
        return Case(typical.MACHINES, self.case.content, spans=False)

    def __call__(self, slug: str, name: str) -> DiagramRows:
        rows = _ROW_FUNCTIONS[name]
        if slug:
            return rows(self.case, self.place[slug])
        wanted = (
            typical.MACHINES if name == "pedalling.levels" else (typical.CURRENTS, typical.RATIOS)
        )
        places = [typical.MACHINES.index(machine) for machine in wanted]
        found = [row for place in places for row in rows(self.typical, place)]
        return found if name != "pedalling.crank_turn" else _drop_repeated_legs(found)


def _drop_repeated_legs(rows: DiagramRows) -> DiagramRows:
    """Drop repeated rows: the legs are equal on all typical machines."""
    return list({(row["law"], row["push"], row["angle"]): row for row in rows}.values())


def find_assist_law(bike: Bike) -> Literal["cadence", "torque"]:
    """What the law looks at; a switchable bike is taken in its torque mode."""
    return "torque" if has_torque_law(bike) else "cadence"


def round_to_five_digits(value: float) -> float:
    return show.round_value(value, 5)


def simulate_crank_turns(case: Case) -> tuple[Array, dict[str, Array]]:
    """Speed of each bike, (bikes,), and motor power at the tyre over a turn, by law, (bikes, pushes, angles). [m/s, W]

    At the middle level, steady, with the gear that makes the cadence `CADENCE`.
    """
    rows = case.find_reference_rows()
    limit = assist.get_level_limit(case, rows)[:, :1]
    speed = assist.choose_follow_speed(limit)[..., None]
    built = case.compute_once(drives.build_drives, case.rider.id, False)

    def take_nominal(part: Array) -> Array:
        return case.pick_rows(part, rows)[:, :1, None]

    drive = map_arrays(built.drive, take_nominal)
    pushes = np.array([SOFT, HARD])[:, None]
    pedaller = map_arrays(built.pedaller, take_nominal)._replace(power=pushes, torque_limit=np.inf)
    mean = rider.mean_crank_torque(pushes, cadence=CADENCE)
    swing = rider.ripple(pushes, cadence=CADENCE)
    turning = CADENCE * 2.0 * np.pi / 60.0
    sensed = {
        "quick": rider.moving_mean(ANGLES, span=QUICK_SPAN, mean_torque=mean, ripple=swing),
        "calm": rider.half_turn_mean(ANGLES, mean_torque=mean, ripple=swing),
    }
    blind = drive._replace(law=drive.law._replace(ratio=np.inf))
    found = {}
    for name, engine in (("quick", drive), ("calm", drive), ("throttle", blind)):
        now = traction.traction(
            speed,
            speed * 60.0 / CADENCE,
            pedaller=pedaller,
            drive=engine,
            sensed_power=sensed.get(name, sensed["calm"]) * turning,
        )
        found[name] = np.maximum(now.motor_force, 0.0) * speed
    return speed[:, 0, 0], found


def list_crank_turn(case: Case, index: int) -> DiagramRows:
    """Rows {law, push, angle, power}; for the legs also the torque. Laws: legs, cadence or quick and calm, throttle."""
    speed, motor = case.compute_once(simulate_crank_turns)
    bike = case.bikes[index]
    laws = {"quick": "quick", "calm": "calm"} if has_torque_law(bike) else {"cadence": "calm"}
    if bike.assist.throttle:
        laws["throttle"] = "throttle"
    if bike.assist.sensor is None or not np.isfinite(motor["throttle"][index]).all():
        return []
    found: DiagramRows = []
    shared = {"cadence_rpm": CADENCE, "speed": round_to_five_digits(speed[index])}
    for push in (HARD, SOFT):
        mean = rider.mean_crank_torque(push, cadence=CADENCE)
        torques = rider.crank_torque(
            ANGLES, mean_torque=mean, ripple=rider.ripple(push, cadence=CADENCE)
        )
        found += [
            {
                "law": "legs",
                "push": push,
                "angle": float(angle),
                "torque": round_to_five_digits(torque),
                "power": round_to_five_digits(torque * CADENCE * 2.0 * np.pi / 60.0),
                **shared,
            }
            for angle, torque in zip(ANGLES, torques, strict=True)
        ]
    for law, key in laws.items():
        for place, push in ((1, HARD), (0, SOFT)):
            powers = np.broadcast_to(motor[key][index], (2, len(ANGLES)))[place]
            found += [
                {
                    "law": law,
                    "push": push,
                    "angle": float(angle),
                    "power": round_to_five_digits(watts),
                    **shared,
                }
                for angle, watts in zip(ANGLES, powers, strict=True)
            ]
    return found


def list_take_up(case: Case, index: int) -> DiagramRows:
    """Rows {law, angle, force}, each with the bike's pulses in a turn and before help, take-up angle and time."""
    bike = case.bikes[index]
    launch = case.compute_once(manoeuvres.simulate_launch)
    half = launch.take_up[index, 0]
    crank, force = launch.pushed[index]
    if bike.assist.sensor is None or not np.isfinite(force).all() or not np.isfinite(half):
        return []
    shared = {
        "law": find_assist_law(bike),
        "pulses": round_to_five_digits(case["assist.pulses"][index, 0]),
        "start": round_to_five_digits(case["assist.start_pulses"][index, 0]),
        "take_up_angle": show.round_value(
            float(manoeuvres.compute_timing(case).take_up_angle[index, 0])
        ),
        "half_time": round_to_five_digits(half),
    }
    # A motor gives nothing before the first turn of the crank; the trace begins one step later.
    pushed = np.interp(START_ANGLES, np.append(0.0, crank), np.append(0.0, np.maximum(force, 0.0)))
    return [
        {**shared, "angle": float(angle), "force": round_to_five_digits(newtons)}
        for angle, newtons in zip(START_ANGLES, pushed, strict=True)
    ]


def list_run_on(case: Case, index: int) -> DiagramRows:
    """Rows {law, time, distance, motor}: the motor's push after the pedals stop, as a share of the push before."""
    bike = case.bikes[index]
    clock = manoeuvres.compute_timing(case)
    delay, fall = float(clock.delay[index, 0]), float(clock.fall[index, 0])
    if not np.isfinite(delay + fall):
        return []
    points = ((0.0, 1.0), (delay, 1.0), (delay + fall, 0.0))
    return [
        {
            "law": find_assist_law(bike),
            "time": round_to_five_digits(time),
            "distance": round_to_five_digits(RUN_ON_SPEED * time),
            "motor": share,
        }
        for time, share in points
    ]


def list_level_powers(case: Case, index: int) -> DiagramRows:
    """Rows {means, level, speed, power} of each level: motor power at the tyre with the default rider's effort."""
    bike = case.bikes[index]
    found, _ = case.compute_once(drives.compute_traction, case.rider.id, False)
    top = case["motor.assisted_speed"][index, 0]
    if not np.isfinite(top):
        return []
    ridden = list(drives.find_ridden_rows(case, case.rider.id, False))
    speeds = SPEED_STEP * np.arange(0.0, 1.1 * top / SPEED_STEP + 8.0)
    rows: DiagramRows = []
    for place, row in enumerate(case.rows):
        if row.bike != index or row.level < 0:
            continue
        force = found.motor_force[ridden.index(place), 0]
        if not np.isfinite(force).all():
            continue
        level = levels.get_level(bike, row.level)
        pushed = np.broadcast_to(np.maximum(force, 0.0), (len(speeds), len(force)))
        powers = interpolate_at_speed(pushed, speeds, step=drives.SPEED_STEP) * speeds
        rows += [
            {
                "machine": bike.slug,
                "means": describe_level_limits(level),
                "level": level.name,
                "effort": case.rider.power,
                "speed": round_to_five_digits(speed),
                "power": round_to_five_digits(watts),
            }
            for speed, watts in zip(speeds, powers, strict=True)
        ]
    return rows


def describe_level_limits(level: Any) -> str:
    """What a level sets: speed, current, share, ratio, or several of them; empty when it sets nothing."""
    given: Iterable[tuple[str, Any]] = (
        ("speed", level.speed),
        ("current", level.current),
        ("share", level.power),
        ("ratio", level.ratio),
    )
    return " and ".join(name for name, value in given if value is not None)


_ROW_FUNCTIONS = {
    "pedalling.crank_turn": list_crank_turn,
    "pedalling.take_up": list_take_up,
    "pedalling.run_on": list_run_on,
    "pedalling.levels": list_level_powers,
}
DIAGRAM_NAMES = tuple(_ROW_FUNCTIONS)
"""Names of the diagrams."""
