"""Figures of the maker's claims: what they imply, against what the physics says."""

import numpy as np

from generator.compute import claims
from generator.figures import sources, units
from generator.figures.inputs.case import Case
from generator.figures.kinds.range import compute_range
from generator.figures.kinds.spec import make_column
from generator.figures.registry import figure
from generator.figures.variants import use_reference_level
from generator.specs.bike import Bike, Stated


def find_largest_claim(bike: Bike) -> Stated | None:
    """The largest range that the maker claims."""
    claim = bike.claims.range
    return (claim.high or claim.low) if claim else None


def get_claimed_ranges(case: Case):
    return make_column(case, find_largest_claim)


@figure(
    "claims.range",
    title="Range as claimed",
    unit=units.DISTANCE,
    words="The largest range that the maker states.",
    formula="stated",
    source=sources.SHEET,
    stated=True,
)
def claimed_range(case):
    return get_claimed_ranges(case)


@figure(
    "claims.range_consumption",
    title="Consumption that the claimed range implies",
    short="Implied consumption",
    unit=units.CONSUMPTION,
    words="The whole battery over the claimed range. Gentle riding takes 4 to 8 Wh/km, ordinary riding 7 to 12.",
    formula="consumption = E ÷ claimed range",
    source=f"{sources.IDENTITY}; bands: {sources.PRACTICE}",
    worked=("{battery.energy} ÷ {claims.range} = {value}",),
    sentence=lambda value, text: f"The claimed range would need a ride at {text}.",
)
def implied_consumption(case):
    return claims.implied_consumption(case["battery.energy"], distance=get_claimed_ranges(case))


@figure(
    "claims.range_ratio",
    title="Claimed over computed range",
    short="Range claim",
    unit=units.RATIO,
    words="The largest claimed range over the computed one on the default route.",
    formula="ratio = claimed ÷ computed range",
    source="our definition",
    conditions="default route and rider; level {level_name}",
    better="lower",
    each=use_reference_level,
    worked=("{claims.range} ÷ the computed range on the default route = {value}",),
    sentence=lambda value, text: (
        f"The claim is {text} times what we compute for an ordinary ride."
        if value > 1.1
        else "The claim is within what we compute for an ordinary ride."
    ),
)
def range_ratio(case):
    return get_claimed_ranges(case) / compute_range(case, case.route.id, case.rider.id)


@figure(
    "claims.power_ratio",
    title="Stated power over battery power",
    short="Power claim",
    unit=units.RATIO,
    words="Stated peak power over volts times amps. Above about 0.85 a motor would have to be better than motors are.",
    formula="ratio = stated peak power ÷ (V × A)",
    source=f"{sources.IDENTITY}; efficiency of motors: value from memory",
    better="lower",
    worked=("{spec.peak_power} ÷ ({battery.voltage} × the stated current limit) = {value}",),
)
def power_ratio(case):
    peak = make_column(case, lambda bike: bike.motor.peak_power)
    amps = make_column(case, lambda bike: bike.motor.current_limit)
    return peak / (case["battery.voltage"] * np.where(amps > 0, amps, np.nan))
