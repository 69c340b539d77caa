"""Rows of the charts, from the intermediate results of the figures. SI, rounded to five digits."""

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.figures.inputs import levels
from generator.figures.inputs.case import Case
from generator.figures.kinds import assist
from generator.figures.model import Figure
from generator.figures.simulation import drives, launches, manoeuvres, steady
from generator.figures.simulation.pedalling import round_to_five_digits
from generator.figures.uncertainty import intervals
from generator.specs.units import kmh

Array = NDArray[np.float64]
ChartRows = list[dict[str, Any]]

LAUNCH_STEP = 0.25
"""Between two points of a launch. [s]"""
FASTEST_LAUNCH = kmh(20)
"""A launch is shown up to this speed. [m/s]"""
MOTOR_OFF = "motor off"
"""Stands for a level's name where the rider is alone."""


def _compute_motor_response(case: Case, number: int) -> Array:
    """Motor power of every bike at a level, counted from 0, for each of `assist.EFFORTS`; shape (bikes, efforts). [W]"""
    rows = case.find_numbered_rows(number)
    speed = assist.choose_follow_speed(assist.get_level_limit(case, rows)[:, :1])
    found: Array = assist.compute_motor_response(case, rows, speed)[:, 0]
    return found


class SteadySpeeds(NamedTuple):
    """Steady speeds of the rows of a case on each of `steady.GRADES`. [m/s]"""

    speeds: Array
    """Speeds in each column of `steady.compute_steady_speeds`; 1 where none is held. Shape (rows, grades, columns)."""
    held: NDArray[np.bool_]
    """Whether a speed is held in every column. Shape (rows, grades)."""
    interval: Array
    """Value, low and high without the update by own rides; shape (3, rows, grades)."""


def _collect_steady_speeds(case: Case) -> SteadySpeeds:
    speeds = case.compute_once(steady.compute_steady_speeds).values.swapaxes(1, 2)
    held = np.isfinite(speeds).all(axis=-1)
    speeds = np.where(held[..., None], speeds, 1.0)
    return SteadySpeeds(speeds, held, _add_intervals(speeds, held))


def _add_intervals(
    speeds: Array, held: NDArray[np.bool_], scores: intervals.FactorScores | None = None
) -> Array:
    """Value, low and high of steady speeds; shape (3, …, grades). [m/s]

    The update by own rides is linear at each grade alone, so near a speed limit it may bend the curve up; no bike is
    faster on a steeper road.
    """
    flat = speeds.reshape(-1, speeds.shape[-1])
    fitted = intervals.fit_response(flat, logarithmic=True)
    found = np.array(intervals.compute_interval(flat, fitted, scores)).reshape(3, *held.shape)
    falling: Array = np.minimum.accumulate(np.where(held, found, np.inf), axis=-1)
    return falling


class Curves:
    """Rows of the curves of some bikes; intermediate results are shared by all of them."""

    def __init__(
        self,
        case: Case,
        figures: dict[str, dict[str, Figure]],
        scores: dict[int, intervals.FactorScores],
    ) -> None:
        self.case = case
        self.figures = figures
        self.scores = scores
        self.place = {bike.slug: index for index, bike in enumerate(case.bikes)}

    def build_all(self) -> dict[str, dict[str, ChartRows]]:
        """Rows of every curve of every bike, by slug and name."""
        return {
            slug: {name: function(self, index) for name, function in CURVE_METHODS.items()}
            for slug, index in self.place.items()
        }

    def list_level_rows(self, index: int) -> list[tuple[int, str]]:
        """Rows of a bike's levels in the case, with the levels' names; without the motor off."""
        bike = self.case.bikes[index]
        return [
            (place, levels.get_level(bike, row.level).name)
            for place, row in enumerate(self.case.rows)
            if row.bike == index and row.level >= 0
        ]

    def speed_by_grade(self, index: int) -> ChartRows:
        found: ChartRows = []
        steady_speeds = self.case.compute_once(_collect_steady_speeds)
        for place, name in self.list_level_rows(index):
            held, interval = steady_speeds.held[place], steady_speeds.interval[:, place]
            if index in self.scores:
                factors = self.case.compute_once(steady.compute_steady_speeds).columns[1::2] // 2
                scores = self.scores[index].select_factors(factors)
                interval = _add_intervals(steady_speeds.speeds[place], held, scores)
            value, low, high = interval.tolist()
            found += [
                {
                    "level": name,
                    "grade": float(grade),
                    "speed": round_to_five_digits(value[at]),
                    "low": round_to_five_digits(low[at]),
                    "high": round_to_five_digits(high[at]),
                }
                for at, grade in enumerate(steady.GRADES)
                if held[at] and steady_speeds.speeds[place, at, 0] > 0.5
            ]
        return found

    def range_by_level(self, index: int) -> ChartRows:
        """Rows from the figures `range.<route>.level_<n>`, so that chart and table agree."""
        figures = self.figures[self.case.bikes[index].slug]
        return [
            {
                "level": name,
                "route": route.name,
                "range": each.value,
                "low": each.low,
                "high": each.high,
            }
            for route in self.case.content.routes
            for level, (_, name) in enumerate(self.list_level_rows(index))
            if (each := figures.get(f"range.{route.id}.level_{level + 1}"))
        ]

    def motor_by_rider(self, index: int) -> ChartRows:
        found: ChartRows = []
        for number, (_, name) in enumerate(self.list_level_rows(index)):
            power = self.case.compute_once(_compute_motor_response, number)[index]
            if np.isfinite(power).all():
                found += [
                    {
                        "level": name,
                        "rider_power": float(effort),
                        "motor_power": round_to_five_digits(watts),
                    }
                    for effort, watts in zip(assist.EFFORTS, power.tolist(), strict=True)
                ]
        return found

    def launch_speed_by_time(self, index: int) -> ChartRows:
        """Speed at the lowest, middle and highest level and with the motor off; take-up in every row, if known."""
        bike, figures = self.case.bikes[index], self.figures[self.case.bikes[index].slug]
        launch_traces = self.case.compute_once(launches.simulate_launches)
        shared = {"goal": round_to_five_digits(manoeuvres.LAUNCH_SPEED)} | {
            key: figures[id].value
            for key, id in (
                ("take_up_angle", "assist.take_up_angle"),
                ("take_up_time", "assist.take_up_time"),
            )
            if id in figures
        }
        found: ChartRows = []
        for place in np.flatnonzero(self.case.row_bike[launch_traces.rows] == index):
            level = self.case.rows[launch_traces.rows[place]].level
            speed = launch_traces.speed[:, place]
            if not np.isfinite(speed).all():
                continue
            name = levels.get_level(bike, level).name if level >= 0 else MOTOR_OFF
            last = int(np.argmax(speed >= FASTEST_LAUNCH)) or len(speed) - 1
            times = np.append(
                np.arange(0.0, launch_traces.time[last], LAUNCH_STEP), launch_traces.time[last]
            )
            found += [
                {
                    "level": name,
                    "time": round_to_five_digits(time),
                    "speed": round_to_five_digits(now),
                    "rider_power": round_to_five_digits(given),
                    **shared,
                }
                for time, now, given in zip(
                    times.tolist(),
                    np.interp(
                        times, np.append(0.0, launch_traces.time), np.append(0.0, speed)
                    ).tolist(),
                    np.interp(
                        times, launch_traces.time, launch_traces.rider_power[:, place]
                    ).tolist(),
                    strict=True,
                )
            ]
        return found if {row["level"] for row in found} > {MOTOR_OFF} else []

    def cadence_by_speed(self, index: int) -> ChartRows:
        reach = self.case.compute_once(drives.compute_developments)[index, 0]
        top = self.case["motor.assisted_speed"][index, 0]
        if not np.isfinite(reach).any() or not np.isfinite(top):
            return []
        speeds = np.linspace(1.0, 1.2 * top, 15).tolist()
        return [
            {
                "gear": gear + 1,
                "speed": round_to_five_digits(speed),
                "cadence": round_to_five_digits(speed / development),
                "assisted": round_to_five_digits(top),
            }
            for gear, development in enumerate(reach[np.isfinite(reach)].tolist())
            for speed in speeds
            if 20 / 60 <= speed / development <= 130 / 60
        ]


CURVE_METHODS: dict[str, Callable[[Curves, int], ChartRows]] = {
    "hills.speed_by_grade": Curves.speed_by_grade,
    "range.by_level": Curves.range_by_level,
    "assist.motor_by_rider": Curves.motor_by_rider,
    "assist.launch": Curves.launch_speed_by_time,
    "gears.cadence_by_speed": Curves.cadence_by_speed,
}
"""Functions that make the rows of the curves, by name."""
