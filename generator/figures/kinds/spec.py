"""Values stated in the spec file, as figures, so that pages, lists and downloads read only one table."""

from collections.abc import Callable

import numpy as np

from generator.figures import sources, units
from generator.figures.inputs.case import Array, Case
from generator.figures.registry import figure
from generator.specs.bike import Bike, Stated


def make_column(case: Case, get: Callable[[Bike], Stated | None]) -> Array:
    """Stated values of all bikes; NaN where the spec states none; shape (bikes, columns). [SI]"""
    values = [[stated.value if (stated := get(bike)) else np.nan] for bike in case.bikes]
    return np.repeat(np.array(values, dtype=float).reshape(-1, 1), case.columns, axis=1)


def _register_stated(
    id: str,
    title: str,
    unit,
    get: Callable[[Bike], Stated | None],
    better="neither",
    headline=False,
):
    figure(
        f"spec.{id}",
        title=title,
        unit=unit,
        words="As stated in the spec file.",
        formula="stated",
        source=sources.SHEET,
        better=better,
        headline=headline,
        stated=True,
    )(lambda case: make_column(case, get))


_register_stated("mass", "Mass", units.MASS, lambda bike: bike.mass, "lower", True)
_register_stated(
    "permitted_mass", "Permitted total mass", units.MASS, lambda bike: bike.permitted_mass, "higher"
)
_register_stated(
    "assisted_speed", "Assisted speed", units.SPEED, lambda bike: bike.motor.assisted_speed
)
_register_stated("rated_power", "Rated power", units.POWER, lambda bike: bike.motor.rated_power)
_register_stated(
    "peak_power", "Peak power as stated", units.POWER, lambda bike: bike.motor.peak_power
)
_register_stated("torque", "Torque as stated", units.TORQUE, lambda bike: bike.motor.torque)
_register_stated("wheelbase", "Wheelbase", units.MILLIMETRES, lambda bike: bike.wheelbase)


@figure(
    "spec.price",
    title="List price",
    unit=lambda case: units.make_money_unit(case.content.settings.currency),
    unit_of=lambda bike: units.make_money_unit(bike.price.currency if bike.price else "EUR"),
    words="The maker's list price, in the currency in which it was declared; never converted.",
    formula="stated",
    source=sources.SHEET,
    better="lower",
    headline=True,
    stated=True,
)
def price(case):
    amounts = [[bike.price.amount if bike.price else np.nan] for bike in case.bikes]
    return np.repeat(np.array(amounts, dtype=float).reshape(-1, 1), case.columns, axis=1)
