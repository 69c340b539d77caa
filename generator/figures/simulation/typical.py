"""Typical machines for explanations that need no particular bike: one hub motor with three assist laws.

The values are what a spec file would state; the rest is assumed (`assumptions.py`).
"""

from generator.specs.bike import (
    Assist,
    Battery,
    Bike,
    Drivetrain,
    Level,
    Motor,
    Stated,
    Throttle,
    Wheels,
)
from generator.specs.units import kmh

WORDS = (
    "a typical machine of ours, with a 250 W rear hub motor, 36 V, help to 25 km/h and 28-inch wheels; what else it needs "
    "is assumed as on the method page"
)


def _make_stated(value: float, text: str) -> Stated:
    return Stated(value, text, "assumed")


def _make_speed_level(number: float) -> Level:
    return Level(f"{number:g} km/h", speed=_make_stated(kmh(number), f"{number:g} km/h"))


def _make_current_level(amps: float) -> Level:
    return Level(f"{amps:g} A", current=_make_stated(amps, f"{amps:g} A"))


def _make_ratio_level(ratio: float) -> Level:
    return Level(f"ratio {ratio:g}", ratio=_make_stated(ratio, f"{ratio:g}"))


def _make_machine(slug: str, assist: Assist) -> Bike:
    return Bike(
        slug=slug,
        file="",
        name=slug,
        maker="",
        year=2026,
        status="on sale",
        uses=("city",),
        frame="diamond",
        motor=Motor(
            "rear hub",
            "geared",
            rated_power=_make_stated(250.0, "250 W"),
            assisted_speed=_make_stated(kmh(25), "25 km/h"),
        ),
        battery=Battery(
            voltage=_make_stated(36.0, "36 V"), energy=_make_stated(500.0 * 3600.0, "500 Wh")
        ),
        assist=assist,
        drivetrain=Drivetrain("derailleur", chainrings=(42,), cogs=(14, 16, 18, 20, 22, 24, 28)),
        wheels=Wheels(0.047, 0.622, text="47-622"),
    )


SPEEDS = _make_machine(
    "speeds", Assist("cadence", tuple(map(_make_speed_level, (12.0, 18.0, 25.0))))
)
"""Cadence sensor, levels that limit the speed."""
CURRENTS = _make_machine(
    "currents",
    Assist(
        "cadence",
        tuple(map(_make_current_level, (3.0, 6.0, 12.0))),
        throttle=Throttle(_make_stated(kmh(25), "25 km/h")),
    ),
)
"""Cadence sensor, levels that limit the current, and a throttle."""
RATIOS = _make_machine("ratios", Assist("torque", tuple(map(_make_ratio_level, (0.6, 1.2, 2.4)))))
"""Torque sensor, levels that multiply the rider."""

MACHINES = (SPEEDS, CURRENTS, RATIOS)
