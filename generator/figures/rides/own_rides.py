"""The reviewers' own rides compared with the model, and the update of a bike's inputs by them.

For each ride the model's consumption on the same route, with the same rider, level, wind and temperature, gives a
residual ln(measured/computed). It is explained by the bike's lasting unknowns (tyres, motor, battery …), by the day's
effort and by the meter. The update is Bayesian, linear and Gaussian: with prior scores z ~ N(0, I), slopes A of the
logarithm of consumption, and S the variance of day and meter,

    C = (I + Aᵀ S⁻¹ A)⁻¹,   m = C Aᵀ S⁻¹ r.

References
----------
A. Tarantola, Inverse Problem Theory, SIAM 2005, ch. 3 (value from memory).
"""

import math
from dataclasses import dataclass

import numpy as np

from generator.figures.inputs import levels
from generator.figures.inputs.case import Case
from generator.figures.show import round_value
from generator.figures.simulation import rides
from generator.figures.uncertainty import intervals
from generator.specs.bike import MeasuredRide

METER_ERROR = 0.03
"""Standard error of the energy of a metered ride. [-]  Our choice."""
SHARE_ERROR = 0.06
"""Standard error of the energy of a ride for which the battery's share was read. [-]  Our choice."""
DAY_FACTORS = ("rider.effort", "road.temperature", "road.wind")
"""Factors that hold for one ride only."""


@dataclass(frozen=True)
class RideCheck:
    """One of the reviewers' rides compared with the model. SI."""

    bike: str
    ride: MeasuredRide
    measured: float
    """Measured consumption. [J/m]"""
    computed: float
    """Computed consumption in the ride's wind and temperature, before the update. [J/m]"""
    low: float
    high: float
    residual: float
    """Measured over computed, less one. [-]"""

    @property
    def inside(self) -> bool:
        """Whether the measured value lies within the computed interval."""
        return self.low <= self.measured <= self.high


def get_measured_consumption(case: Case, index: int, ride: MeasuredRide) -> float | None:
    """Measured battery energy per distance of a ride; None where it was not measured. [J/m]"""
    if ride.energy is not None:
        return ride.energy.value / ride.distance.value
    if ride.charge_share is not None:
        label = case.resolve_input(("battery.energy", case.rider.id, case.route.id))[index].value
        energy = ride.charge_share.value * label
        return energy / ride.distance.value if math.isfinite(energy) else None
    return None


def find_level_row(case: Case, index: int, level: str) -> int | None:
    """Row of the level of that name; None where the bike lacks it."""
    bike = case.bikes[index]
    for place, row in enumerate(case.rows):
        if row.bike == index and row.level >= 0 and levels.get_level(bike, row.level).name == level:
            return place
    return None


def find_day_scores(case: Case, ride: MeasuredRide) -> dict[int, float]:
    """Scores of the wind and temperature noted for a ride, by index of the factor."""
    found = {}
    for factor, stated, id in (
        ("road.temperature", ride.temperature, "road.temperature"),
        ("road.wind", ride.wind, "road.wind"),
    ):
        if stated is None:
            continue
        usual = case.resolve_input((id, ride.rider, ride.route))[0]
        spread = (usual.high - usual.low) / (2.0 * intervals.Z90)
        place = case.factors.index(factor)
        found[place] = float(np.clip((stated.value - usual.value) / spread, -3.0, 3.0))
    return found


def update_scores(case: Case) -> tuple[list[RideCheck], dict[int, intervals.FactorScores]]:
    """Check every ride against the model; return the checks, and the updated scores by index of the bike."""
    checks: list[RideCheck] = []
    scores: dict[int, intervals.FactorScores] = {}
    lasting = np.array([factor not in DAY_FACTORS for factor in case.factors])
    for index, bike in enumerate(case.bikes):
        slopes, residuals, variances = [], [], []
        for ride in bike.rides:
            measured = get_measured_consumption(case, index, ride)
            row = find_level_row(case, index, ride.level)
            if (
                measured is None
                or row is None
                or ride.route not in case.routes
                or ride.rider not in case.riders
            ):
                continue
            totals = case.compute_once(rides.ride_route, ride.rider, ride.route)
            length = case.compute_once(rides.get_course, ride.route).length
            values = totals.battery_energy[row : row + 1] / length
            if not np.isfinite(values).all():
                continue
            fitted = intervals.fit_response(values, logarithmic=True)
            linear, square = fitted.linear[0].copy(), fitted.square[0].copy()
            known = find_day_scores(case, ride)
            shift = sum(linear[place] * z + square[place] * z**2 for place, z in known.items())
            for place in known:
                linear[place] = square[place] = 0.0
            computed = float(values[0, 0] * math.exp(shift))
            meter = METER_ERROR if ride.energy is not None else SHARE_ERROR
            left = intervals.Response(linear[None], square[None], fitted.logarithmic)
            _, low, high = intervals.compute_interval(np.array([[computed]]), left)
            checks.append(
                RideCheck(
                    bike.slug,
                    ride,
                    *map(
                        round_value,
                        (measured, computed, low[0], high[0], measured / computed - 1.0),
                    ),
                )
            )
            slopes.append(np.where(lasting, linear, 0.0))
            residuals.append(math.log(measured / computed))
            variances.append(meter**2 + float((linear[~lasting] ** 2).sum()))
        if slopes:
            design, noise = np.array(slopes), np.array(variances)
            weighted = design.T / noise
            covariance = np.linalg.inv(np.eye(len(case.factors)) + weighted @ design)
            scores[index] = intervals.FactorScores(
                covariance @ weighted @ np.array(residuals), covariance
            )
    return checks, scores
