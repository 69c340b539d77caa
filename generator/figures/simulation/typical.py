"""A stated typical machine, for what is explained without a bike of its own: one hub motor, told three ways what to do.

What stands here is what its sheet would say; everything else is assumed as for any silent sheet (`assumptions.py`).
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

WORDS = (
    "a typical machine of ours, with a 250 W rear hub motor, 36 V, help to 25 km/h and 28-inch wheels; what else it needs "
    "is assumed as on the method page"
)


def _stated(value: float, text: str) -> Stated:
    return Stated(value, text, "assumed")


def _speed(kmh: float) -> Level:
    return Level(f"{kmh:g} km/h", speed=_stated(kmh / 3.6, f"{kmh:g} km/h"))


def _current(amps: float) -> Level:
    return Level(f"{amps:g} A", current=_stated(amps, f"{amps:g} A"))


def _ratio(ratio: float) -> Level:
    return Level(f"ratio {ratio:g}", ratio=_stated(ratio, f"{ratio:g}"))


def _machine(slug: str, assist: Assist) -> Bike:
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
            rated_power=_stated(250.0, "250 W"),
            assisted_speed=_stated(25 / 3.6, "25 km/h"),
        ),
        battery=Battery(voltage=_stated(36.0, "36 V"), energy=_stated(500.0 * 3600.0, "500 Wh")),
        assist=assist,
        drivetrain=Drivetrain("derailleur", chainrings=(42,), cogs=(14, 16, 18, 20, 22, 24, 28)),
        wheels=Wheels(0.047, 0.622, text="47-622"),
    )


SPEEDS = _machine("speeds", Assist("cadence", tuple(map(_speed, (12.0, 18.0, 25.0)))))
"""Cadence sensor, levels that limit the speed."""
CURRENTS = _machine(
    "currents",
    Assist(
        "cadence",
        tuple(map(_current, (3.0, 6.0, 12.0))),
        throttle=Throttle(_stated(25 / 3.6, "25 km/h")),
    ),
)
"""Cadence sensor, levels that limit the current, and a throttle."""
RATIOS = _machine("ratios", Assist("torque", tuple(map(_ratio, (0.6, 1.2, 2.4)))))
"""Torque sensor, levels that multiply the rider."""

MACHINES = (SPEEDS, CURRENTS, RATIOS)
