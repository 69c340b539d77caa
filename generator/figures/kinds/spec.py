"""What the spec states, as figures: so that pages, lists and downloads read one table only."""

from collections.abc import Callable

import numpy as np

from generator.figures import sources, units
from generator.figures.inputs.case import Array, Case
from generator.figures.registry import figure
from generator.specs.bike import Bike, Stated


def column(case: Case, get: Callable[[Bike], Stated | None]) -> Array:
    """Stated values; NaN where the spec is silent; shape (bikes, columns)."""
    values = [[stated.value if (stated := get(bike)) else np.nan] for bike in case.bikes]
    return np.repeat(np.array(values, dtype=float).reshape(-1, 1), case.columns, axis=1)


def _plain(
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
    )(lambda case: column(case, get))


_plain("mass", "Mass", units.MASS, lambda bike: bike.mass, "lower", True)
_plain(
    "permitted_mass", "Permitted total mass", units.MASS, lambda bike: bike.permitted_mass, "higher"
)
_plain("assisted_speed", "Assisted speed", units.SPEED, lambda bike: bike.motor.assisted_speed)
_plain("rated_power", "Rated power", units.POWER, lambda bike: bike.motor.rated_power)
_plain("peak_power", "Peak power as stated", units.POWER, lambda bike: bike.motor.peak_power)
_plain("torque", "Torque as stated", units.TORQUE, lambda bike: bike.motor.torque)
_plain("wheelbase", "Wheelbase", units.MILLIMETRES, lambda bike: bike.wheelbase)


@figure(
    "spec.price",
    title="List price",
    unit=lambda case: units.money(case.content.settings.currency),
    unit_of=lambda bike: units.money(bike.price.currency if bike.price else "EUR"),
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
