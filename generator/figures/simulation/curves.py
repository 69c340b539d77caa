"""Rows for charts, from the same intermediate results as the figures. SI, rounded to five digits."""

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.figures.inputs import levels
from generator.figures.inputs.case import Case
from generator.figures.kinds import assist
from generator.figures.model import Figure
from generator.figures.simulation import drives, launches, manoeuvres, steady
from generator.figures.simulation.pedalling import five
from generator.figures.uncertainty import intervals

Array = NDArray[np.float64]
Rows = list[dict[str, Any]]

LAUNCH_STEP = 0.25
"""Between two points of a launch. [s]"""
FASTEST_LAUNCH = 20 / 3.6
"""A launch is shown up to this speed. [m/s]"""
MOTOR_OFF = "motor off"
"""Stands for a level's name where the rider is alone."""


def _answers(case: Case, number: int) -> Array:
    """Motor power for each of `assist.EFFORTS` of every bike at its level of that number; shape (bikes, efforts). [W]"""
    rows = case.numbered_rows(number)
    speed = assist.follow_speed(assist.level_limit(case, rows)[:, :1])
    found: Array = assist.answers(case, rows, speed)[:, 0]
    return found


class Steadily(NamedTuple):
    """Steady speeds of the rows of a case on each of `steady.GRADES`. [m/s]"""

    speeds: Array
    """In each column of `steady.speeds`; 1 where none is held. Shape (rows, grades, columns)."""
    held: NDArray[np.bool_]
    """Shape (rows, grades)."""
    interval: Array
    """Value, low and high before rides of one's own; shape (3, rows, grades)."""


def _steadily(case: Case) -> Steadily:
    speeds = case.shared(steady.speeds).values.swapaxes(1, 2)
    held = np.isfinite(speeds).all(axis=-1)
    speeds = np.where(held[..., None], speeds, 1.0)
    return Steadily(speeds, held, _with_interval(speeds, held))


def _with_interval(
    speeds: Array, held: NDArray[np.bool_], scores: intervals.Scores | None = None
) -> Array:
    """Value, low and high; shape (3, …, grades).

    The update by own rides is linear at each grade alone, so near a speed limit it may bend the curve up; no bike is
    faster on a steeper road.
    """
    flat = speeds.reshape(-1, speeds.shape[-1])
    fitted = intervals.response(flat, logarithmic=True)
    found = np.array(intervals.interval(flat, fitted, scores)).reshape(3, *held.shape)
    falling: Array = np.minimum.accumulate(np.where(held, found, np.inf), axis=-1)
    return falling


class Curves:
    """Rows of the curves of some bikes; intermediate results are shared by all of them."""

    def __init__(
        self,
        case: Case,
        figures: dict[str, dict[str, Figure]],
        scores: dict[int, intervals.Scores],
    ) -> None:
        self.case = case
        self.figures = figures
        self.scores = scores
        self.place = {bike.slug: index for index, bike in enumerate(case.bikes)}

    def all(self) -> dict[str, dict[str, Rows]]:
        """Rows of every curve of every bike, by slug and name."""
        return {
            slug: {name: function(self, index) for name, function in NAMED.items()}
            for slug, index in self.place.items()
        }

    def rows(self, index: int) -> list[tuple[int, str]]:
        """Rows of a bike's levels, with their names; the motor off is left out."""
        bike = self.case.bikes[index]
        return [
            (place, levels.of(bike, row.level).name)
            for place, row in enumerate(self.case.rows)
            if row.bike == index and row.level >= 0
        ]

    def speed_by_grade(self, index: int) -> Rows:
        found: Rows = []
        steadily = self.case.shared(_steadily)
        for place, name in self.rows(index):
            held, interval = steadily.held[place], steadily.interval[:, place]
            if index in self.scores:
                factors = self.case.shared(steady.speeds).columns[1::2] // 2
                scores = self.scores[index].of(factors)
                interval = _with_interval(steadily.speeds[place], held, scores)
            value, low, high = interval.tolist()
            found += [
                {
                    "level": name,
                    "grade": float(grade),
                    "speed": five(value[at]),
                    "low": five(low[at]),
                    "high": five(high[at]),
                }
                for at, grade in enumerate(steady.GRADES)
                if held[at] and steadily.speeds[place, at, 0] > 0.5
            ]
        return found

    def range_by_level(self, index: int) -> Rows:
        """The figures `range.<route>.level_<n>`, so that chart and table are one."""
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
            for level, (_, name) in enumerate(self.rows(index))
            if (each := figures.get(f"range.{route.id}.level_{level + 1}"))
        ]

    def motor_by_rider(self, index: int) -> Rows:
        found: Rows = []
        for number, (_, name) in enumerate(self.rows(index)):
            power = self.case.shared(_answers, number)[index]
            if np.isfinite(power).all():
                found += [
                    {
                        "level": name,
                        "rider_power": float(effort),
                        "motor_power": five(watts),
                    }
                    for effort, watts in zip(assist.EFFORTS, power.tolist(), strict=True)
                ]
        return found

    def launch(self, index: int) -> Rows:
        """Speed at lowest, middle and highest level and with the motor off; help's coming with every row, if known."""
        bike, figures = self.case.bikes[index], self.figures[self.case.bikes[index].slug]
        played = self.case.shared(launches.launches)
        shared = {"goal": five(manoeuvres.LAUNCH_SPEED)} | {
            key: figures[id].value
            for key, id in (
                ("take_up_angle", "assist.take_up_angle"),
                ("take_up_time", "assist.take_up_time"),
            )
            if id in figures
        }
        found: Rows = []
        for place in np.flatnonzero(self.case.row_bike[played.rows] == index):
            level = self.case.rows[played.rows[place]].level
            speed = played.speed[:, place]
            if not np.isfinite(speed).all():
                continue
            name = levels.of(bike, level).name if level >= 0 else MOTOR_OFF
            last = int(np.argmax(speed >= FASTEST_LAUNCH)) or len(speed) - 1
            times = np.append(np.arange(0.0, played.time[last], LAUNCH_STEP), played.time[last])
            found += [
                {
                    "level": name,
                    "time": five(time),
                    "speed": five(now),
                    "rider_power": five(given),
                    **shared,
                }
                for time, now, given in zip(
                    times.tolist(),
                    np.interp(times, np.append(0.0, played.time), np.append(0.0, speed)).tolist(),
                    np.interp(times, played.time, played.rider_power[:, place]).tolist(),
                    strict=True,
                )
            ]
        return found if {row["level"] for row in found} > {MOTOR_OFF} else []

    def cadence_by_speed(self, index: int) -> Rows:
        reach = self.case.shared(drives.developments)[index, 0]
        top = self.case["motor.assisted_speed"][index, 0]
        if not np.isfinite(reach).any() or not np.isfinite(top):
            return []
        speeds = np.linspace(1.0, 1.2 * top, 15).tolist()
        return [
            {
                "gear": gear + 1,
                "speed": five(speed),
                "cadence": five(speed / development),
                "assisted": five(top),
            }
            for gear, development in enumerate(reach[np.isfinite(reach)].tolist())
            for speed in speeds
            if 20 / 60 <= speed / development <= 130 / 60
        ]


NAMED: dict[str, Callable[[Curves, int], Rows]] = {
    "hills.speed_by_grade": Curves.speed_by_grade,
    "range.by_level": Curves.range_by_level,
    "assist.motor_by_rider": Curves.motor_by_rider,
    "assist.launch": Curves.launch,
    "gears.cadence_by_speed": Curves.cadence_by_speed,
}
"""Of each curve, what makes its rows."""
