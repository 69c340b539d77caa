"""What the maker's claims imply, beside what the physics says."""

import numpy as np

from generator.compute import claims
from generator.figures import sources, units
from generator.figures.inputs.case import Case
from generator.figures.kinds.range import range_of
from generator.figures.kinds.spec import column
from generator.figures.registry import figure
from generator.figures.variants import reference
from generator.specs.bike import Bike, Stated


def most_claimed(bike: Bike) -> Stated | None:
    """The largest range that the maker claims."""
    claim = bike.claims.range
    return (claim.high or claim.low) if claim else None


def claimed(case: Case):
    return column(case, most_claimed)


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
    return claimed(case)


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
    return claims.implied_consumption(case["battery.energy"], distance=claimed(case))


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
    each=reference,
    worked=("{claims.range} ÷ the computed range on the default route = {value}",),
    sentence=lambda value, text: (
        f"The claim is {text} times what we compute for an ordinary ride."
        if value > 1.1
        else "The claim is within what we compute for an ordinary ride."
    ),
)
def range_ratio(case):
    return claimed(case) / range_of(case, case.route.id, case.rider.id)


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
    peak = column(case, lambda bike: bike.motor.peak_power)
    amps = column(case, lambda bike: bike.motor.current_limit)
    return peak / (case["battery.voltage"] * np.where(amps > 0, amps, np.nan))
