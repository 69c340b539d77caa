"""Inputs of bike, tyres and drivetrain."""

from generator.compute import coefficients, gears
from generator.figures import show, units
from generator.figures.inputs.kind import INPUTS, MISSING, Resolved, assumed, entry, stated


@entry("bike.mass", "Mass of the bike", units.MASS)
def _(bike, setting):
    weighed = next((test.value for test in bike.tests if test.what == "mass"), None)
    found = stated(bike, weighed) or stated(bike, bike.mass, low=0.98, high=1.04)
    if found:
        return found
    cargo = "cargo" in bike.uses or bike.frame in ("long-tail", "front box")
    kind = "cargo" if cargo else "folding" if bike.frame == "folding" else "city"
    return assumed(f"bike.mass_{kind}")


@entry("tyre.crr", "Rolling resistance coefficient", units.COEFFICIENT)
def _(bike, setting):
    span = coefficients.CRR[bike.tread]
    reference = coefficients.REFERENCE_PRESSURE[bike.tread]
    pressure = bike.tyre_pressure.value if bike.tyre_pressure else reference

    def at(base: float) -> float:
        return float(
            coefficients.crr(
                base,
                surface_factor=1.0,
                pressure=pressure,
                reference_pressure=reference,
                temperature=coefficients.REFERENCE_TEMPERATURE,
            )
        )

    value = at(span.default)
    text = f"{value:.4f}, {bike.tread} tread at {pressure / 1e5:.1f} bar"
    return Resolved(
        value,
        at(span.low),
        at(span.high),
        "assumed",
        text,
        "engineering tables; Grappe et al. 1999",
    )


@entry("wheels.circumference", "Rolling circumference of the driven wheel", units.CIRCUMFERENCE)
def _(bike, setting):
    rolled = next((test.value for test in bike.tests if test.what == "rollout"), None)
    found = stated(bike, rolled) or stated(bike, bike.wheels.rollout, low=0.995, high=1.005)
    if found:
        return found
    if bike.wheels.etrto_bead is None or bike.wheels.etrto_width is None:
        return MISSING
    value = float(gears.etrto_circumference(bike.wheels.etrto_width, bike.wheels.etrto_bead))
    return Resolved(
        value, value * 0.985, value * 1.003, "claimed", bike.wheels.text, "ETRTO size, ISO 5775"
    )


@entry("wheels.motor_circumference", "Circumference of the wheel that the motor sits in",
       units.CIRCUMFERENCE, "wheels.circumference")  # fmt: skip
def _(bike, setting):
    if bike.motor.place == "front hub" and bike.wheels.front_etrto:
        width, bead = bike.wheels.front_etrto
        value = float(gears.etrto_circumference(width, bead))
        return Resolved(
            value, value * 0.985, value * 1.003, "claimed", "front wheel", "ETRTO size, ISO 5775"
        )
    return INPUTS["wheels.circumference"].resolve(bike, setting)


@entry("drivetrain.gears", "Gears", units.COUNT)
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
    return Resolved(count, count, count, "claimed", teeth, "spec sheet")


@entry("drivetrain.efficiency", "Efficiency of the drivetrain", units.SHARE)
def _(bike, setting):
    span = gears.DRIVETRAIN_EFFICIENCY[bike.drivetrain.shifting]
    text = show.quantity(span.default, units.SHARE.metric)
    return Resolved(
        span.default, span.low, span.high, "assumed", f"{text}, {bike.drivetrain.shifting}",
        "Smit et al. 2023; Wilson; hub gears from memory",
    )  # fmt: skip


@entry("bike.wheelbase", "Wheelbase", units.MILLIMETRES)
def _(bike, setting):
    return stated(bike, bike.wheelbase) or assumed("bike.wheelbase")
