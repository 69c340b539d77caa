"""An invented hub-motor bike and its rider, as arguments of `compute`, for tests of rides."""

import numpy as np

from generator.compute import assist, motor
from generator.compute.range import Road
from generator.compute.ride import Setup, Timing
from generator.compute.traction import Drive, Pedaller, gear_thresholds

MACHINE = motor.Machine(
    constant=1.5,
    resistance=0.2,
    no_load_current=0.5,
    torque_limit=40.0,
    current_limit=15.0,
    controller_efficiency=0.97,
    reduction_efficiency=0.97,
)
RADIUS = 0.35
VOLTAGE, SAG = 37.5, 0.15
LIMIT = 25 / 3.6


def law(**changes):
    """A torque law of ratio 1.5 up to 25 km/h, with `changes`."""
    plain = assist.Law(speed_limit=LIMIT, current_cap=np.inf, ratio=1.5, taper=1.5 / 3.6)
    return plain._replace(**changes)


def drive(**changes):
    plain = Drive(
        machine=MACHINE,
        law=law(),
        voltage=VOLTAGE,
        battery_resistance=SAG,
        standby=4.0,
        at_crank=0.0,
        freewheels=1.0,
        wheel_radius=RADIUS,
        drivetrain_efficiency=0.96,
        cadence_limit=np.inf,
    )
    return plain._replace(**changes)


def pedaller(**changes):
    plain = Pedaller(power=80.0, upper_cadence=90.0, flat_out_cadence=110.0, torque_limit=45.0)
    return plain._replace(**changes)


def tireless(power=80.0):
    """A rider whose legs follow at any speed, so that power is constant."""
    return Pedaller(power=power, upper_cadence=1e6, flat_out_cadence=2e6, torque_limit=1e9)


def road(count=1, **changes):
    parts = {
        "mass": 100.0,
        "inertia": 101.1,
        "crr": 0.007,
        "cda": 0.6,
        "air_density": 1.2,
        "wind": 0.0,
        "factor": 1.0,
    } | changes
    return Road(
        **{
            name: np.broadcast_to(np.asarray(part, float), (count,)).copy()
            for name, part in parts.items()
        }
    )


def timing(count=1, **changes):
    parts = {
        "take_up_angle": 1.0,
        "filter": 0.25,
        "ramp": 0.5,
        "delay": 0.2,
        "fall": 0.15,
    } | changes
    return Timing(**{name: np.full(count, float(part)) for name, part in parts.items()})


def setup(count=1, *, developments=(3.0, 4.0, 5.5, 7.0), **changes):
    """The whole bike, for `count` scenarios."""
    reach = np.tile(np.asarray(developments, float), (count, 1))
    parts = {
        "pedaller": pedaller(),
        "drive": drive(),
        "timing": timing(count),
        "road": road(count),
        "developments": reach,
        "thresholds": gear_thresholds(reach, 70.0),
        "temperature": np.full(count, 15.0),
    }
    return Setup(**(parts | changes))
