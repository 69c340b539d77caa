"""Inputs of bike, tyres and drivetrain."""

from typing import assert_never

from generator.compute import coefficients, gears
from generator.figures import show, units
from generator.figures.inputs.kind import (
    INPUTS,
    MISSING,
    ResolvedInput,
    define_input,
    is_in_front,
    resolve_assumed,
    resolve_stated,
)
from generator.specs.bike import Bike


@define_input("bike.mass", "Mass of the bike", units.MASS)
def _(bike, setting):
    weighed = next((test.value for test in bike.tests if test.what == "mass"), None)
    found = resolve_stated(bike, weighed) or resolve_stated(bike, bike.mass, low=0.98, high=1.04)
    if found:
        return found
    return _usual_mass(bike)


def _usual_mass(bike: Bike) -> ResolvedInput:
    if "cargo" in bike.uses:
        return resolve_assumed("bike.mass_cargo")
    match bike.frame:
        case "long-tail" | "front box":
            return resolve_assumed("bike.mass_cargo")
        case "folding":
            return resolve_assumed("bike.mass_folding")
        case "diamond" | "step-through" | "mountain":
            return resolve_assumed("bike.mass_city")
        case unknown:
            assert_never(unknown)


@define_input("tyre.crr", "Rolling resistance coefficient", units.COEFFICIENT)
def _(bike, setting):
    span = coefficients.CRR[bike.tread]
    reference = coefficients.REFERENCE_PRESSURE[bike.tread]
    pressure = bike.tyre_pressure.value if bike.tyre_pressure else reference

    def compute_crr(base: float) -> float:
        return float(
            coefficients.crr(
                base,
                surface_factor=1.0,
                pressure=pressure,
                reference_pressure=reference,
                temperature=coefficients.REFERENCE_TEMPERATURE,
            )
        )

    value = compute_crr(span.default)
    text = f"{value:.4f}, {bike.tread} tread at {pressure / 1e5:.1f} bar"
    return ResolvedInput(
        value,
        compute_crr(span.low),
        compute_crr(span.high),
        "assumed",
        text,
        "engineering tables; Grappe et al. 1999",
    )


@define_input(
    "wheels.circumference", "Rolling circumference of the driven wheel", units.CIRCUMFERENCE
)
def _(bike, setting):
    rolled = next((test.value for test in bike.tests if test.what == "rollout"), None)
    found = resolve_stated(bike, rolled) or resolve_stated(
        bike, bike.wheels.rollout, low=0.995, high=1.005
    )
    if found:
        return found
    if bike.wheels.etrto_bead is None or bike.wheels.etrto_width is None:
        return MISSING
    value = float(gears.etrto_circumference(bike.wheels.etrto_width, bike.wheels.etrto_bead))
    return ResolvedInput(
        value, value * 0.985, value * 1.003, "claimed", bike.wheels.text, "ETRTO size, ISO 5775"
    )


@define_input("wheels.motor_circumference", "Circumference of the wheel that the motor sits in",
       units.CIRCUMFERENCE, "wheels.circumference")  # fmt: skip
def _(bike, setting):
    if is_in_front(bike) and bike.wheels.front_etrto:
        width, bead = bike.wheels.front_etrto
        value = float(gears.etrto_circumference(width, bead))
        return ResolvedInput(
            value, value * 0.985, value * 1.003, "claimed", "front wheel", "ETRTO size, ISO 5775"
        )
    return INPUTS["wheels.circumference"].resolve(bike, setting)


@define_input("drivetrain.gears", "Gears", units.COUNT)
def _(bike, setting):
    train = bike.drivetrain
    if not train.chainrings or not train.cogs:
        return MISSING
    count = float(len(train.chainrings) * len(train.cogs) * max(len(train.hub_ratios), 1))
    teeth = " × ".join(
        "/".join(map(str, part))
        for part in (train.chainrings, train.cogs, train.hub_ratios)
        if part
    )
    return ResolvedInput(count, count, count, "claimed", teeth, "spec sheet")


@define_input("drivetrain.efficiency", "Efficiency of the drivetrain", units.SHARE)
def _(bike, setting):
    span = gears.DRIVETRAIN_EFFICIENCY[bike.drivetrain.shifting]
    text = show.format_quantity(span.default, units.SHARE.metric)
    return ResolvedInput(
        span.default, span.low, span.high, "assumed", f"{text}, {bike.drivetrain.shifting}",
        "Smit et al. 2023; Wilson; hub gears from memory",
    )  # fmt: skip


@define_input("bike.wheelbase", "Wheelbase", units.MILLIMETRES)
def _(bike, setting):
    return resolve_stated(bike, bike.wheelbase) or resolve_assumed("bike.wheelbase")
