"""Cross-checks of mass, battery, motor and claims."""

from generator.specs.checks.facts import Facts, plain

ENERGY_TOLERANCE = 0.03
"""Volts × ampere-hours against the stated watt-hours; common practice, no source."""
LEAST_CONSUMPTION = 3.0
"""Below this a range claim is hard to believe: 4 to 8 is gentle riding; common practice, no source.
[Wh/km]"""
HOUR = 3600.0
"""[s]"""


def check_mass(facts: Facts) -> None:
    mass, permitted = facts.quantity("mass", "mass"), facts.quantity("mass", "permitted_mass")
    if mass and permitted and permitted.value <= mass.value:
        facts.error(
            ("permitted_mass",),
            f"the permitted mass, {permitted.text}, is not above the bike's own, {mass.text}",
            "Give what bike, rider and load may weigh together;"
            " if the sheet gives the rider and load alone, add the bike's mass",
        )


def check_battery(facts: Facts) -> None:
    voltage = facts.quantity("voltage", "battery", "voltage")
    charge = facts.quantity("charge", "battery", "charge")
    energy = facts.quantity("energy", "battery", "energy")
    if not (voltage and charge and energy):
        return
    product = voltage.value * charge.value
    if abs(product / energy.value - 1) > ENERGY_TOLERANCE:
        facts.warn(
            ("battery", "energy"),
            f"{voltage.text} × {charge.text} is {plain(product / HOUR)} Wh,"
            f" the file says {energy.text}",
            "Look all three up again; if the sheet itself disagrees, keep the two that are printed"
            " on the battery and leave the third out. Until then the guide reckons with the stated"
            f" energy, {energy.text}",
        )


def check_motor(facts: Facts) -> None:
    rated = facts.quantity("power", "motor", "rated_power")
    peak = facts.quantity("power", "motor", "peak_power")
    if rated and peak and peak.value < rated.value:
        facts.error(
            ("motor", "peak_power"),
            f"the peak power, {peak.text}, is below the rated power, {rated.text}",
            "Exchange the two, or leave out the one that the source does not give",
        )
    voltage = facts.quantity("voltage", "battery", "voltage")
    current = facts.quantity("current", "motor", "current_limit")
    if not (voltage and current):
        return
    most = voltage.value * current.value
    for key in ("peak_power", "rated_power"):
        power = facts.quantity("power", "motor", key)
        if power and power.value > most * 1.001:
            facts.warn(
                ("motor", key),
                f"{power.text} is more than the battery gives:"
                f" {voltage.text} × {current.text} is {plain(most)} W, less the motor's losses",
                "Check the power and the current limit; a peak power is often electrical, and then"
                " belongs into claims.other in your words",
            )
            return


def check_claims(facts: Facts) -> None:
    low = facts.quantity("length", "claims", "range", "low")
    high = facts.quantity("length", "claims", "range", "high")
    if low and high and low.value > high.value:
        facts.error(
            ("claims", "range", "low"),
            f"the range claim runs from {low.text} down to {high.text}",
            "Write the smaller one as low and the larger one as high",
        )
    energy = _energy(facts)
    claim = max(filter(None, (low, high)), key=lambda each: each.value, default=None)
    if energy is None or claim is None:
        return
    consumption = (energy / HOUR) / (claim.value / 1000)
    if consumption < LEAST_CONSUMPTION:
        facts.warn(
            ("claims", "range", "high" if claim == high else "low"),
            f"{plain(energy / HOUR)} Wh over {claim.text} is {plain(consumption, 2)} Wh per km,"
            " where gentle riding takes 4 to 8",
            "Check the claim against its source; if it stands there, keep it,"
            " and the guide will say what it implies",
        )


def _energy(facts: Facts) -> float | None:
    """Stated battery energy, or volts × ampere-hours. [J]"""
    energy = facts.si("energy", "battery", "energy")
    if energy is not None:
        return energy
    voltage = facts.si("voltage", "battery", "voltage")
    charge = facts.si("charge", "battery", "charge")
    return voltage * charge if voltage and charge else None
