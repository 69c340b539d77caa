"""Units of figures: the SI symbol, and how each of the two systems shows it."""

import math

from generator.figures.model import Scale, Unit
from generator.specs.units import FOOT, INCH, MILE, POUND


def _make_common_unit(si: str, unit: str, factor: float, decimals: int) -> Unit:
    scale = Scale(unit, factor, decimals)
    return Unit(si, scale, scale)


DISTANCE = Unit("m", Scale("km", 1e-3, 1), Scale("mi", 1 / MILE, 1))
LENGTH = Unit("m", Scale("m", 1.0, 1), Scale("ft", 1 / FOOT, 1))
DEVELOPMENT = Unit("m", Scale("m", 1.0, 2), Scale("ft", 1 / FOOT, 1))
CIRCUMFERENCE = Unit("m", Scale("mm", 1e3, 0), Scale("in", 1 / INCH, 1))
INCHES = Unit("m", Scale("in", 1 / INCH, 0), Scale("in", 1 / INCH, 0))
MILLIMETRES = Unit("m", Scale("mm", 1e3, 0), Scale("in", 1 / INCH, 1))
SPEED = Unit("m/s", Scale("km/h", 3.6, 1), Scale("mph", 3600 / MILE, 1))
SPEED_STEP = Unit("m/s", Scale("km/h", 3.6, 1), Scale("mph", 3600 / MILE, 1))
WIND = Unit("m/s", Scale("m/s", 1.0, 1), Scale("mph", 3600 / MILE, 1))
MASS = Unit("kg", Scale("kg", 1.0, 1), Scale("lb", 1 / POUND, 1))
POWER = _make_common_unit("W", "W", 1.0, 0)
FORCE = _make_common_unit("N", "N", 1.0, 0)
TORQUE = _make_common_unit("N·m", "N·m", 1.0, 0)
ENERGY = _make_common_unit("J", "Wh", 1 / 3600, 0)
CONSUMPTION = Unit("J/m", Scale("Wh/km", 1 / 3.6, 1), Scale("Wh/mi", MILE / 3600, 1))
GRADE = _make_common_unit("1", "%", 100.0, 1)
SHARE = _make_common_unit("1", "%", 100.0, 0)
RATIO = _make_common_unit("1", "", 1.0, 2)
COEFFICIENT = _make_common_unit("1", "", 1.0, 4)
SECONDS = _make_common_unit("s", "s", 1.0, 2)
MINUTES = _make_common_unit("s", "min", 1 / 60, 0)
HOURS = _make_common_unit("s", "h", 1 / 3600, 1)
ANGLE = _make_common_unit("rad", "°", 180 / math.pi, 0)
CADENCE = _make_common_unit("1/s", "rpm", 60.0, 0)
ACCELERATION = Unit("m/s²", Scale("m/s²", 1.0, 2), Scale("ft/s²", 1 / FOOT, 1))
JERK = Unit("m/s³", Scale("m/s³", 1.0, 1), Scale("ft/s³", 1 / FOOT, 1))
CURRENT = _make_common_unit("A", "A", 1.0, 1)
VOLTAGE = _make_common_unit("V", "V", 1.0, 1)
RESISTANCE = _make_common_unit("Ω", "Ω", 1.0, 3)
MOTOR_CONSTANT = _make_common_unit("N·m/A", "N·m/A", 1.0, 2)
C_RATE = _make_common_unit("1/h", "C", 1.0, 2)
AREA = Unit("m²", Scale("m²", 1.0, 2), Scale("ft²", 1 / FOOT**2, 1))
TEMPERATURE = _make_common_unit("°C", "°C", 1.0, 0)
THERMAL = _make_common_unit("K/W", "K/W", 1.0, 2)
COUNT = _make_common_unit("1", "", 1.0, 0)


def make_money_unit(currency: str) -> Unit:
    """Money in one currency; never converted."""
    return _make_common_unit(currency, currency, 1.0, 2)
