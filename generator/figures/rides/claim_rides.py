"""The ride on which a maker's range claim would come true, if there is one.

First the computed rides: every route, rider and level whose interval reaches the claim, the least favourable first. If none
does, a steady ride on the flat without wind or stops at the lowest level: the highest speed at which the battery would
last for the claimed distance.
"""

import math
from dataclasses import dataclass

import numpy as np

from generator.compute.road import STANDARD_GRAVITY
from generator.figures import show, units
from generator.figures.inputs import levels
from generator.figures.inputs.case import Array, Case
from generator.figures.kinds.claims import find_largest_claim
from generator.figures.kinds.range import compute_usable_energy
from generator.figures.model import Figure
from generator.figures.simulation import drives, rides
from generator.specs.units import kmh

SLOWEST = kmh(8)
"""A steadier crawl than this is no ride. [m/s]"""


@dataclass(frozen=True)
class ClaimRide:
    """What it takes to make a range claim true."""

    bike: str
    claimed: float
    """Claimed range. [m]"""
    verdict: str
    """`ordinary`: on the default route and rider at the middle level; `favourable`: on another computed ride;
    `slow`: only at a steady low speed; `none`: on no ride that we know."""
    words: str
    speed: float | None = None
    """Speed of the steady ride. [m/s]"""


def find_claim_rides(case: Case, found: dict[str, dict[str, Figure]]) -> dict[str, ClaimRide]:
    """Return what would make each bike's range claim true, by slug; bikes without claim or figures are left out."""
    claim_rides_by_slug = {}
    steady = case.compute_once(compute_steady_consumption)
    energy = compute_usable_energy(case, case.route.id)[:, 0]
    for index, bike in enumerate(case.bikes):
        claim = find_largest_claim(bike)
        figures = found[bike.slug]
        ordinary = figures.get(f"range.{case.route.id}")
        if claim is None or ordinary is None:
            continue
        reach = _find_reaching_range(claim.value, figures)
        if ordinary.high >= claim.value:
            claim_rides_by_slug[bike.slug] = ClaimRide(
                bike.slug,
                claim.value,
                "ordinary",
                f"The claim of {claim.text} is within the interval of an ordinary ride: {ordinary.conditions}.",
            )
        elif reach:
            claim_rides_by_slug[bike.slug] = ClaimRide(
                bike.slug,
                claim.value,
                "favourable",
                _describe_reaching_range(claim.text, claim.value, reach),
            )
        else:
            claim_rides_by_slug[bike.slug] = _make_slow_ride(
                bike.slug, claim.value, claim.text, energy[index], steady[index], case
            )
    return claim_rides_by_slug


def _find_reaching_range(claimed: float, figures: dict[str, Figure]) -> Figure | None:
    """Range on the least favourable computed ride that reaches the claim; else the longest whose interval reaches it."""
    rides = [
        each
        for id, each in figures.items()
        if id.startswith("range.") and each.high >= claimed and "level" in each.conditions
    ]
    sure = [each for each in rides if each.value >= claimed]
    if sure:
        return min(sure, key=lambda each: each.value)
    return max(rides, key=lambda each: each.value, default=None)


def _describe_reaching_range(text: str, claimed: float, ride: Figure) -> str:
    there = f"it is {show.format_figure(ride)} there, and {show.format_interval(ride)} eight times in ten."
    if ride.value >= claimed:
        return f"The claim of {text} comes true on this ride: {ride.conditions}; {there}"
    return f"The claim of {text} takes some luck even on this ride: {ride.conditions}; {there}"


def compute_steady_consumption(case: Case) -> Array:
    """Battery energy per distance at steady speeds on the flat, lowest level; shape (bikes, speeds), nominal. [J/m]

    The rider gives the everyday effort or less, and the motor the rest, as far as the assist law allows.
    """
    found, _ = case.compute_once(drives.compute_traction, case.rider.id, False)
    here = case.compute_once(rides.build_still_road, case.rider.id, case.route.id)
    rows = case.find_level_rows(lambda bike: 0)
    speeds = drives.SPEEDS
    rider = case.pick_rows(found.rider_force, rows)[:, 0]
    motor = case.pick_rows(found.motor_force, rows)[:, 0]
    power = case.pick_rows(found.battery_power, rows)[:, 0]
    standby = case["motor.standby"][:, :1]
    factor = here.factor[:, :1]
    air = 0.5 * here.air_density[:, :1] * here.cda[:, :1] * speeds**2
    needed = factor * (air + here.mass[:, :1] * STANDARD_GRAVITY * here.crr[:, :1])
    wanted = np.maximum(needed - rider, 0.0)
    part = np.where(motor > 0.0, wanted / np.where(motor > 0.0, motor, 1.0), np.inf)
    part = np.where(wanted <= 0.0, 0.0, part)
    able = part <= 1.0
    drawn = standby + np.where(able, part, 0.0) * (power - standby)
    moving = np.maximum(speeds, 0.1)
    return np.where(able, drawn / moving, np.inf)


def _make_slow_ride(
    slug: str, claimed: float, text: str, energy: float, steady: Array, case: Case
) -> ClaimRide:
    allowed = energy / claimed
    speeds = drives.SPEEDS
    good = (steady <= allowed) & (speeds >= SLOWEST)
    bike = case.bikes[[each.slug for each in case.bikes].index(slug)]
    level = levels.get_level(bike, 0).name
    if not math.isfinite(allowed) or not good.any():
        words = (
            f"The claim of {text} would come true on no ride that we can compute: not even steadily on the flat, without "
            f"wind, in level {level}."
        )
        return ClaimRide(slug, claimed, "none", words)
    speed = float(speeds[good].max())
    words = (
        f"The claim of {text} would come true on the flat, without wind or stops, in level {level}, with the everyday "
        f"effort, at no more than {show.format_quantity(speed, units.SPEED.metric)} "
        f"({show.format_quantity(speed, units.SPEED.us)})."
    )
    return ClaimRide(slug, claimed, "slow", words, speed)
