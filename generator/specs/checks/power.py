"""Cross-checks of mass, battery, motor and claims."""

from generator.specs.checks.facts import Facts, format_number

ENERGY_TOLERANCE = 0.03
"""Relative difference allowed between volts × ampere-hours and the stated watt-hours; common practice, no source. [-]"""
LEAST_CONSUMPTION = 3.0
"""Consumption below which a range claim is hard to believe: 4 to 8 is gentle riding; common practice,
no source. [Wh/km]"""
HOUR = 3600.0
"""[s]"""


def check_mass(facts: Facts) -> None:
    mass, permitted = (
        facts.get_quantity("mass", "mass"),
        facts.get_quantity("mass", "permitted_mass"),
    )
    if mass and permitted and permitted.value <= mass.value:
        facts.add_error(
            ("permitted_mass",),
            f"the permitted mass, {permitted.text}, is not above the bike's own, {mass.text}",
            "Give what bike, rider and load may weigh together;"
            " if the sheet gives the rider and load alone, add the bike's mass",
        )


def check_battery(facts: Facts) -> None:
    voltage = facts.get_quantity("voltage", "battery", "voltage")
    charge = facts.get_quantity("charge", "battery", "charge")
    energy = facts.get_quantity("energy", "battery", "energy")
    if not (voltage and charge and energy):
        return
    product = voltage.value * charge.value
    if abs(product / energy.value - 1) > ENERGY_TOLERANCE:
        facts.add_warning(
            ("battery", "energy"),
            f"{voltage.text} × {charge.text} is {format_number(product / HOUR)} Wh,"
            f" the file says {energy.text}",
            "Look all three up again; if the sheet itself disagrees, keep the two that are printed"
            " on the battery and leave the third out. Until then the guide reckons with the stated"
            f" energy, {energy.text}",
        )


def check_motor(facts: Facts) -> None:
    rated = facts.get_quantity("power", "motor", "rated_power")
    peak = facts.get_quantity("power", "motor", "peak_power")
    if rated and peak and peak.value < rated.value:
        facts.add_error(
            ("motor", "peak_power"),
            f"the peak power, {peak.text}, is below the rated power, {rated.text}",
            "Exchange the two, or leave out the one that the source does not give",
        )
    voltage = facts.get_quantity("voltage", "battery", "voltage")
    current = facts.get_quantity("current", "motor", "current_limit")
    if not (voltage and current):
        return
    most = voltage.value * current.value
    for key in ("peak_power", "rated_power"):
        power = facts.get_quantity("power", "motor", key)
        if power and power.value > most * 1.001:
            facts.add_warning(
                ("motor", key),
                f"{power.text} is more than the battery gives:"
                f" {voltage.text} × {current.text} is {format_number(most)} W, less the motor's losses",
                "Check the power and the current limit; a peak power is often electrical, and then"
                " belongs into claims.other in your words",
            )
            return


def check_claims(facts: Facts) -> None:
    low = facts.get_quantity("length", "claims", "range", "low")
    high = facts.get_quantity("length", "claims", "range", "high")
    if low and high and low.value > high.value:
        facts.add_error(
            ("claims", "range", "low"),
            f"the range claim runs from {low.text} down to {high.text}",
            "Write the smaller one as low and the larger one as high",
        )
    energy = _find_energy(facts)
    claim = max(filter(None, (low, high)), key=lambda each: each.value, default=None)
    if energy is None or claim is None:
        return
    consumption = (energy / HOUR) / (claim.value / 1000)
    if consumption < LEAST_CONSUMPTION:
        facts.add_warning(
            ("claims", "range", "high" if claim == high else "low"),
            f"{format_number(energy / HOUR)} Wh over {claim.text} is {format_number(consumption, 2)} Wh per km,"
            " where gentle riding takes 4 to 8",
            "Check the claim against its source; if it stands there, keep it,"
            " and the guide will say what it implies",
        )


def _find_energy(facts: Facts) -> float | None:
    """Stated battery energy, else volts × ampere-hours. [J]"""
    energy = facts.get_si("energy", "battery", "energy")
    if energy is not None:
        return energy
    voltage = facts.get_si("voltage", "battery", "voltage")
    charge = facts.get_si("charge", "battery", "charge")
    return voltage * charge if voltage and charge else None
