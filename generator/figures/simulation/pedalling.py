"""Rows for the diagrams: what the motor does as one presses, from the same model as the assist figures.

One turn of the crank, the first turn and a half from standstill, the moment after the last, and what a level means; of
one bike, or of the typical machine where the slug is empty. Nominal inputs only. SI, rounded to five digits.
"""

from collections.abc import Iterable
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from generator.compute import rider, traction
from generator.figures import show
from generator.figures.inputs import feels_torque, levels
from generator.figures.inputs.case import Case
from generator.figures.kinds import assist
from generator.figures.simulation import drives, manoeuvres, typical
from generator.figures.simulation.arrays import at_speed, each_array
from generator.specs.bike import Bike

Array = NDArray[np.float64]
Rows = list[dict[str, Any]]

CADENCE = 60.0
"""Of the crank turn. [rpm]"""
SOFT, HARD = 60.0, 120.0
"""Rider's powers of the crank turn. [W]"""
SHORT_SPAN = np.pi / 4
"""An eighth of a turn, the quick average of the torque signal. [rad]  Our choice; no sheet states it."""
ANGLES = np.radians(np.arange(0.0, 361.0, 7.5))
"""[rad]"""
PRESSED = np.radians(np.arange(0.0, 541.0, 7.5))
"""Crank angles from standstill. [rad]"""
RUN_ON_SPEED = 20 / 3.6
"""As in `assist.run_on_distance`. [m/s]"""
SPEED_STEP = 0.5 / 3.6
"""Between the speeds of the levels' powers. [m/s]"""


class Pedalling:
    """From slug and name to rows; the typical machine is computed when somebody asks for it."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.place = {bike.slug: index for index, bike in enumerate(case.bikes)}

    @cached_property
    def typical(self) -> Case:
        return Case(typical.MACHINES, self.case.content, spans=False)

    def __call__(self, slug: str, name: str) -> Rows:
        rows = _ROWS[name]
        if slug:
            return rows(self.case, self.place[slug])
        wanted = (
            typical.MACHINES if name == "pedalling.levels" else (typical.CURRENTS, typical.RATIOS)
        )
        places = [typical.MACHINES.index(machine) for machine in wanted]
        found = [row for place in places for row in rows(self.typical, place)]
        return found if name != "pedalling.crank_turn" else _legs_once(found)


def _legs_once(rows: Rows) -> Rows:
    """The same legs press both machines."""
    return list({(row["law"], row["push"], row["angle"]): row for row in rows}.values())


def law_of(bike: Bike) -> str:
    """What the law looks at; a switchable bike is taken in its torque mode."""
    return "torque" if feels_torque(bike) else "cadence"


def five(value: float) -> float:
    return float(f"{value:.5g}")


def turns(case: Case) -> tuple[Array, dict[str, Array]]:
    """Speed of each bike, (bikes,), and motor power at the tyre over a turn, by law, (bikes, pushes, angles). [m/s, W]

    At the middle level, steady, with the gear that makes the cadence `CADENCE`.
    """
    rows = case.reference_rows()
    limit = assist.level_limit(case, rows)[:, :1]
    speed = assist.follow_speed(limit)[..., None]
    built = case.shared(drives.engine, case.rider.id, False)

    def cut(part: Array) -> Array:
        return case.pick(part, rows)[:, :1, None]

    drive = each_array(built.drive, cut)
    pushes = np.array([SOFT, HARD])[:, None]
    pedaller = each_array(built.pedaller, cut)._replace(power=pushes, torque_limit=np.inf)
    mean = rider.mean_crank_torque(pushes, cadence=CADENCE)
    swing = rider.ripple(pushes, cadence=CADENCE)
    turning = CADENCE * 2.0 * np.pi / 60.0
    sensed = {
        "quick": rider.moving_mean(ANGLES, span=SHORT_SPAN, mean_torque=mean, ripple=swing),
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


def crank_turn(case: Case, index: int) -> Rows:
    """Rows {law, push, angle, power}; of the legs also the torque. Laws: legs, cadence or quick and calm, throttle."""
    speed, motor = case.shared(turns)
    bike = case.bikes[index]
    laws = {"cadence": "calm"} if law_of(bike) == "cadence" else {"quick": "quick", "calm": "calm"}
    if bike.assist.throttle:
        laws["throttle"] = "throttle"
    if bike.assist.sensor is None or not np.isfinite(motor["throttle"][index]).all():
        return []
    found: Rows = []
    shared = {"cadence_rpm": CADENCE, "speed": five(speed[index])}
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
                "torque": five(torque),
                "power": five(torque * CADENCE * 2.0 * np.pi / 60.0),
                **shared,
            }
            for angle, torque in zip(ANGLES, torques, strict=True)
        ]
    for law, key in laws.items():
        for place, push in ((1, HARD), (0, SOFT)):
            powers = np.broadcast_to(motor[key][index], (2, len(ANGLES)))[place]
            found += [
                {"law": law, "push": push, "angle": float(angle), "power": five(watts), **shared}
                for angle, watts in zip(ANGLES, powers, strict=True)
            ]
    return found


def take_up(case: Case, index: int) -> Rows:
    """Rows {law, angle, force}, with what holds for all of them: pulses, pulses waited for, angle and time of take-up."""
    bike = case.bikes[index]
    played = case.shared(manoeuvres.launch)
    half = played.take_up[index, 0]
    crank, force = played.pushed[index]
    if bike.assist.sensor is None or not np.isfinite(force).all() or not np.isfinite(half):
        return []
    shared = {
        "law": law_of(bike),
        "pulses": five(case["assist.pulses"][index, 0]),
        "start": five(case["assist.start_pulses"][index, 0]),
        "take_up_angle": show.rounded(float(manoeuvres.timing(case).take_up_angle[index, 0])),
        "half_time": five(half),
    }
    # A motor gives nothing before the first turn of the crank; the trace begins one step later.
    pushed = np.interp(PRESSED, np.append(0.0, crank), np.append(0.0, np.maximum(force, 0.0)))
    return [
        {**shared, "angle": float(angle), "force": five(newtons)}
        for angle, newtons in zip(PRESSED, pushed, strict=True)
    ]


def run_on(case: Case, index: int) -> Rows:
    """Rows {law, time, distance, motor}: the motor's push as a share of what it was, from the pedals' stop on."""
    bike = case.bikes[index]
    clock = manoeuvres.timing(case)
    delay, fall = float(clock.delay[index, 0]), float(clock.fall[index, 0])
    if not np.isfinite(delay + fall):
        return []
    points = ((0.0, 1.0), (delay, 1.0), (delay + fall, 0.0))
    return [
        {
            "law": law_of(bike),
            "time": five(time),
            "distance": five(RUN_ON_SPEED * time),
            "motor": share,
        }
        for time, share in points
    ]


def level_powers(case: Case, index: int) -> Rows:
    """Rows {means, level, speed, power} of each level: motor power at the tyre with the default rider's effort."""
    bike = case.bikes[index]
    found, _ = case.shared(drives.at_speeds, case.rider.id, False)
    top = case["motor.assisted_speed"][index, 0]
    if not np.isfinite(top):
        return []
    ridden = list(drives.ridden_rows(case, case.rider.id, False))
    speeds = SPEED_STEP * np.arange(0.0, 1.1 * top / SPEED_STEP + 8.0)
    rows: Rows = []
    for place, row in enumerate(case.rows):
        if row.bike != index or row.level < 0:
            continue
        force = found.motor_force[ridden.index(place), 0]
        if not np.isfinite(force).all():
            continue
        level = levels.of(bike, row.level)
        pushed = np.broadcast_to(np.maximum(force, 0.0), (len(speeds), len(force)))
        powers = at_speed(pushed, speeds, step=drives.SPEED_STEP) * speeds
        rows += [
            {
                "machine": bike.slug,
                "means": meaning(level),
                "level": level.name,
                "effort": case.rider.power,
                "speed": five(speed),
                "power": five(watts),
            }
            for speed, watts in zip(speeds, powers, strict=True)
        ]
    return rows


def meaning(level: Any) -> str:
    """What a level sets: speed, current, share, ratio, or several of them; empty when it sets nothing."""
    given: Iterable[tuple[str, Any]] = (
        ("speed", level.speed),
        ("current", level.current),
        ("share", level.power),
        ("ratio", level.ratio),
    )
    return " and ".join(name for name, value in given if value is not None)


_ROWS = {
    "pedalling.crank_turn": crank_turn,
    "pedalling.take_up": take_up,
    "pedalling.run_on": run_on,
    "pedalling.levels": level_powers,
}
NAMES = tuple(_ROWS)
"""Of the rows that there are."""
