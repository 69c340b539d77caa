"""Bikes, levels and routes of the figures, ridden by the time-stepped reference.

Inputs come from a `Case`, nominal or drawn, so that only the way of riding differs.
"""

import numpy as np
from numpy.typing import NDArray

from generator.compute import ride as timed
from generator.compute.traction import gear_thresholds
from generator.figures.inputs import ResolvedInput
from generator.figures.inputs.case import Case
from generator.figures.simulation import drives, manoeuvres, rides
from generator.figures.uncertainty.intervals import Z90

Array = NDArray[np.float64]


class DrawnCase(Case):
    """A case whose columns are draws of all factors at once: column 0 nominal, then one per draw.

    Each factor is normal in its score; an input follows it along straight lines through its low, nominal and high
    value (10th, 50th and 90th percentile), the same scores for every bike. So it differs from the figures' own
    three-point parabolas wherever a span is lopsided. Sizes stay above nothing, shares and efficiencies below 1.
    """

    def __init__(self, bikes, content, *, draws: int, seed: int) -> None:
        super().__init__(bikes, content)
        random = np.random.default_rng(seed)
        self.scores = {
            factor: np.append(0.0, random.standard_normal(draws)) for factor in self.factors
        }
        self.columns = 1 + draws

    def _lay_out_columns(self, resolved: list[ResolvedInput], factor: str) -> Array:
        score = self.scores[factor] / Z90
        rows = []
        for each in resolved:
            if each.low == each.high or not np.isfinite(each.value):
                rows.append(np.full(self.columns, each.value))
                continue
            up, down = each.high - each.value, each.value - each.low
            drawn = each.value + np.where(score > 0.0, up, down) * score
            if each.low > 0.0:  # a size or a duration stays one
                drawn = np.maximum(drawn, 0.2 * each.low)
            if (
                0.8 < each.value < 1.0 and each.high <= 1.0
            ):  # a share or an efficiency stays below 1
                drawn = np.minimum(drawn, 1.0)
            rows.append(drawn)
        return np.array(rows)

    def find_active_columns(self, uses) -> NDArray[np.intp]:
        return np.arange(self.columns)


def setup(case: Case, rows: NDArray[np.intp], route: str) -> timed.Setup:
    """Scenarios of the reference, row by row and column by column."""
    built = case.compute_once(drives.build_drives, case.rider.id, False)
    bikes = case.row_bike[rows]

    def by_row(part: Array) -> Array:
        part = np.broadcast_to(part[rows], (len(rows), case.columns))
        return part.ravel()

    def by_bike(part: Array) -> Array:
        return np.broadcast_to(part[bikes], (len(rows), case.columns)).ravel()

    def cut(part, flatten):
        if isinstance(part, tuple):
            return type(part)(*(cut(each, flatten) for each in part))
        return flatten(part)

    ratios = np.repeat(built.ratios[rows], case.columns, axis=0)
    reach = ratios * by_row(built.circumference)[:, None]
    return timed.Setup(
        pedaller=cut(built.pedaller, by_row),
        drive=cut(built.drive, by_row),
        timing=cut(manoeuvres.compute_timing(case), by_bike),
        road=cut(case.compute_once(rides.build_road, case.rider.id, route), by_bike),
        developments=reach,
        thresholds=gear_thresholds(reach, by_bike(60.0 * case["rider.cadence"])),
        temperature=by_bike(case.get_input("road.temperature", route=route)),
    )


def ride(case: Case, rows: NDArray[np.intp], route: str, *, step: float) -> timed.RideResult:
    """The whole route; flat arrays, rows × columns."""
    path = case.compute_once(rides.get_course, route)
    return timed.simulate(
        setup(case, rows, route), step=step, duration=path.length / 0.8, course=path
    )
