"""Units that may be written in a spec file, with their factors to SI.

Factors are exact where a definition is. Sources: International Bureau of Weights and Measures, SI
Brochure, 9th edition (2019), tables 2, 4, 7 and 8; international yard and pound agreement of 1959,
US Federal Register 24:5348 (1 yd = 0.9144 m, 1 lb = 0.45359237 kg); standard gravity 9.80665 m/s²,
3rd General Conference on Weights and Measures (1901), for pound-force.
"""

import math
from dataclasses import dataclass

YARD = 0.9144
"""[m]"""
FOOT = 0.3048
"""[m]"""
INCH = 0.0254
"""[m]"""
MILE = 1609.344
"""1760 yards. [m]"""
POUND = 0.45359237
"""[kg]"""
GRAVITY = 9.80665
"""Standard. [m/s²]"""
POUND_FORCE = POUND * GRAVITY
"""[N]"""


@dataclass(frozen=True)
class Unit:
    """A unit: SI value = number × factor ÷ divisor + offset."""

    symbol: str
    dimension: str
    factor: float = 1.0
    divisor: float = 1.0
    offset: float = 0.0

    def to_si(self, number: float) -> float:
        return number * self.factor / self.divisor + self.offset

    def from_si(self, value: float) -> float:
        return (value - self.offset) * self.divisor / self.factor


@dataclass(frozen=True)
class Dimension:
    """A kind of quantity, such as length."""

    name: str
    article: str
    si: str
    """Symbol of the unit that values are stored in."""
    usual: tuple[str, ...]
    """Symbols of the units to suggest."""


DIMENSIONS = {
    each.name: each
    for each in (
        Dimension("mass", "a", "kg", ("kg", "lb")),
        Dimension("length", "a", "m", ("mm", "cm", "m", "km", "in", "ft", "mi")),
        Dimension("speed", "a", "m/s", ("km/h", "mph", "m/s")),
        Dimension("time", "a", "s", ("s", "ms", "min", "h")),
        Dimension("power", "a", "W", ("W", "kW")),
        Dimension("torque", "a", "N·m", ("N·m", "lb·ft")),
        Dimension("energy", "an", "J", ("Wh", "kWh", "J")),
        Dimension("charge", "a", "C", ("Ah", "mAh")),
        Dimension("current", "a", "A", ("A", "mA")),
        Dimension("voltage", "a", "V", ("V",)),
        Dimension("pressure", "a", "Pa", ("bar", "psi", "kPa")),
        Dimension("temperature", "a", "°C", ("°C", "°F")),
        Dimension("angle", "an", "rad", ("°", "rad")),
        Dimension("cadence", "a", "rad/s", ("rpm", "rad/s")),
        Dimension("ratio", "a", "", ("%",)),
    )
}
"""Every dimension. Temperatures are in degrees Celsius, as everywhere in this program."""

UNITS = (
    Unit("kg", "mass"),
    Unit("g", "mass", divisor=1000),
    Unit("t", "mass", 1000),
    Unit("lb", "mass", POUND),
    Unit("oz", "mass", POUND, 16),
    Unit("m", "length"),
    Unit("mm", "length", divisor=1000),
    Unit("cm", "length", divisor=100),
    Unit("km", "length", 1000),
    Unit("in", "length", INCH),
    Unit("ft", "length", FOOT),
    Unit("yd", "length", YARD),
    Unit("mi", "length", MILE),
    Unit("m/s", "speed"),
    Unit("km/h", "speed", divisor=3.6),
    Unit("mph", "speed", MILE, 3600),
    Unit("ft/s", "speed", FOOT),
    Unit("s", "time"),
    Unit("ms", "time", divisor=1000),
    Unit("min", "time", 60),
    Unit("h", "time", 3600),
    Unit("W", "power"),
    Unit("kW", "power", 1000),
    Unit("N·m", "torque"),
    Unit("lb·ft", "torque", POUND_FORCE * FOOT),
    Unit("J", "energy"),
    Unit("kJ", "energy", 1000),
    Unit("MJ", "energy", 1e6),
    Unit("Wh", "energy", 3600),
    Unit("kWh", "energy", 3.6e6),
    Unit("Ah", "charge", 3600),
    Unit("mAh", "charge", 3.6),
    Unit("A", "current"),
    Unit("mA", "current", divisor=1000),
    Unit("V", "voltage"),
    Unit("mV", "voltage", divisor=1000),
    Unit("Pa", "pressure"),
    Unit("kPa", "pressure", 1000),
    Unit("bar", "pressure", 100_000),
    Unit("psi", "pressure", POUND_FORCE, INCH**2),
    Unit("°C", "temperature"),
    Unit("°F", "temperature", 5, 9, -160 / 9),
    Unit("°", "angle", math.pi, 180),
    Unit("rad", "angle"),
    Unit("rpm", "cadence", math.pi, 30),
    Unit("rad/s", "cadence"),
    Unit("", "ratio"),
    Unit("%", "ratio", divisor=100),
)

ORDINARY = frozenset({
    "kg", "lb", "km", "mi", "mm", "cm", "m", "in", "km/h", "mph", "W", "Wh", "kWh", "V", "A", "Ah",
    "N·m", "bar", "psi", "s", "ms", "h", "min", "%",
})  # fmt: skip
"""Units to offer when a number is implausible in its own; a rare unit would be a bad guess."""

BY_SYMBOL = {unit.symbol: unit for unit in UNITS}


def kmh(number: float) -> float:
    """A speed that is round in km/h. [m/s]"""
    return BY_SYMBOL["km/h"].to_si(number)


SPELLINGS = {
    "kgs": "kg", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "inch": "in", "inches": "in", '"': "in", "″": "in", "miles": "mi", "mile": "mi",
    "kmh": "km/h", "kph": "km/h", "kmph": "km/h", "km/hr": "km/h", "mi/h": "mph",
    "meter": "m", "metre": "m",
    "Nm": "N·m", "N m": "N·m", "N*m": "N·m", "N.m": "N·m", "lb ft": "lb·ft", "lb-ft": "lb·ft",
    "ft·lb": "lb·ft", "ft-lb": "lb·ft", "ft lb": "lb·ft", "lbft": "lb·ft", "ftlb": "lb·ft",
    "W·h": "Wh", "kW·h": "kWh", "A·h": "Ah",
    "sec": "s", "hr": "h", "hours": "h", "hour": "h", "minutes": "min", "seconds": "s",
    "deg": "°", "degrees": "°", "C": "°C", "F": "°F", "° C": "°C", "° F": "°F",
    "1/min": "rpm", "/min": "rpm", "percent": "%", "volts": "V", "amps": "A", "watts": "W",
    "watt": "W", "volt": "V", "amp": "A",
}  # fmt: skip
"""Other spellings that are accepted silently."""
