"""Compiled traction and launches give what the rooms in numpy give, to the last digit: the same sums in the same order.

Scenarios are drawn by a seed within what bikes have, and at its edges: no limit, no gear, an input that is not known.
"""

import numpy as np
import pytest

from generator.compute import assist, launch_compiled, motor, traction_compiled
from generator.compute.range import Road
from generator.compute.ride import Setup, Timing, simulate
from generator.compute.traction import Drive, Pedaller, gear_in_use, gear_thresholds, traction

COUNT, GEARS, STEP = 240, 5, 0.02
SPEEDS = np.arange(0.0, 15.01, 0.25)


def drawn() -> Setup:
    """Hub motors and mid drives, torque and cadence laws; each tenth scenario lacks something."""
    rng = np.random.default_rng(7)

    def between(low: float, high: float) -> np.ndarray:
        return rng.uniform(low, high, COUNT)

    def some(value: float, array: np.ndarray, share: float = 0.3) -> np.ndarray:
        return np.where(rng.random(COUNT) < share, value, array)

    machine = motor.Machine(
        constant=between(0.8, 2.5),
        resistance=some(np.nan, between(0.05, 0.5), 0.05),
        no_load_current=between(0.2, 1.2),
        torque_limit=some(np.nan, between(20.0, 90.0), 0.05),
        current_limit=between(8.0, 25.0),
        controller_efficiency=between(0.93, 0.98),
        reduction_efficiency=between(0.9, 1.0),
    )
    law = assist.Law(
        speed_limit=some(np.nan, between(1.5, 12.0), 0.05),
        current_cap=some(np.inf, some(0.0, between(2.0, 20.0))),
        ratio=some(np.nan, some(np.inf, between(0.3, 3.0)), 0.05),
        taper=between(0.2, 0.8),
    )
    at_crank = some(1.0, np.zeros(COUNT))
    developments = np.sort(rng.uniform(2.0, 8.5, (COUNT, GEARS)), axis=1)
    developments[rng.random(COUNT) < 0.4, 2:] = np.nan
    developments[:3] = np.nan
    drive = Drive(
        machine=machine,
        law=law,
        voltage=between(33.0, 54.0),
        battery_resistance=between(0.05, 0.3),
        standby=between(1.0, 5.0),
        at_crank=at_crank,
        freewheels=some(0.0, np.ones(COUNT)),
        wheel_radius=between(0.25, 0.36),
        drivetrain_efficiency=between(0.88, 0.98),
        cadence_limit=np.where(at_crank > 0.0, between(80.0, 120.0), np.inf),
    )
    upper = between(80.0, 100.0)
    return Setup(
        pedaller=Pedaller(between(40.0, 200.0), upper, upper + 25.0, between(20.0, 60.0)),
        drive=drive,
        timing=Timing(
            between(0.1, 3.0),
            between(0.05, 0.5),
            some(np.nan, some(0.0, between(0.1, 2.0)), 0.05),
            between(0.1, 0.5),
            some(0.0, between(0.1, 0.5)),
        ),
        road=Road(
            mass=(mass := between(80.0, 140.0)),
            inertia=mass + 1.5,
            crr=between(0.004, 0.012),
            cda=between(0.4, 0.8),
            air_density=between(1.1, 1.35),
            wind=np.zeros(COUNT),
            factor=between(0.94, 1.06),
        ),
        developments=developments,
        thresholds=gear_thresholds(developments, between(55.0, 85.0)),
        temperature=between(-5.0, 30.0),
    )


def test_traction_at_speeds() -> None:
    """Two columns of each row, which share a gear and not a wheel."""
    setup = drawn()
    around = setup.developments[:, 0].reshape(-1, 2)
    gear = gear_in_use(SPEEDS, setup.thresholds[::2, None, :])
    ratio = np.take_along_axis(setup.developments[::2] / around[:, :1], gear, axis=1)
    development = np.repeat(ratio, 2, axis=0) * around.reshape(-1, 1)

    def column(part):
        return (
            type(part)(*(column(one) for one in part)) if isinstance(part, tuple) else part[:, None]
        )

    slow = traction(SPEEDS, development, pedaller=column(setup.pedaller), drive=column(setup.drive))
    fast = traction_compiled.at_speeds(
        SPEEDS, ratio, around, pedaller=setup.pedaller, drive=setup.drive
    )

    assert 0.0 < np.isnan(slow.battery_power).mean() < 0.5
    assert (slow.motor_force < 0.0).any()
    for name in traction_compiled.Tables._fields:
        np.testing.assert_array_equal(getattr(fast, name), getattr(slow, name), err_msg=name)


@pytest.mark.parametrize("until", [4.0, np.inf])
def test_launches(until: float) -> None:
    """Both are told to end when the last of a group is fast enough, or after the time."""
    setup, together = drawn(), COUNT // 2
    found = [
        launch_compiled.Traces(*(trace.copy() for trace in traces))
        for traces in launch_compiled.launches(
            setup, together=together, step=STEP, duration=6.0, until_speed=until
        )
    ]
    slow = simulate(setup, step=STEP, duration=6.0, until_speed=until, record=True).traces

    assert len(found) == 2
    assert max(len(each.speed) for each in found) == len(slow["speed"])
    for number, each in enumerate(found):
        mine = np.s_[: len(each.speed), number * together : (number + 1) * together]
        for name in launch_compiled.Traces._fields:
            np.testing.assert_array_equal(getattr(each, name), slow[name][mine], err_msg=name)


def test_a_fast_group_does_not_wait_for_a_slow_one() -> None:
    """A group's traces are the same whoever sets off beside it."""
    setup = drawn()
    steps = [
        len(traces.speed)
        for traces in launch_compiled.launches(
            setup, together=1, step=STEP, duration=6.0, until_speed=2.0
        )
    ]

    assert len(set(steps)) > 10
    assert min(steps) >= 11
