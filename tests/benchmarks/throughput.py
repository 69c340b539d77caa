"""Scenario-steps per second of the time-stepped ride, against a plain loop over scipy's `solve_ivp`.

Run as `python -m tests.benchmarks.throughput`. A thousand bikes on grades of 0 to 6 % for two minutes, the same physics
for both. Steps are counted by accuracy, not by number: both are tuned to the same error in battery energy against a
reference of DOP853 at rtol 1e-10, and what is compared is the time for a thousand rides.
"""

import sys
import time

import numpy as np
from scipy.integrate import solve_ivp

from generator.compute.ride import simulate
from generator.compute.traction import gear_in_use, traction
from tests.compute import rig

SCENARIOS, DURATION = 1000, 120.0
SAMPLE = 40
"""Scenarios ridden by scipy, evenly spread; its time for all is in proportion."""
GRADES = np.linspace(0.0, 0.06, SCENARIOS)
DRIVE = rig.drive(law=rig.law(ratio=1.5))


def slopes_of(grade: float):
    """Right-hand side of one scenario: distance, speed, battery energy."""
    setup = rig.setup(drive=DRIVE)
    road = setup.road
    slope = np.arctan(grade)
    hold = float(road.mass[0] * 9.80665 * (np.sin(slope) + road.crr[0] * np.cos(slope)))
    drag = float(0.5 * road.air_density[0] * road.cda[0])

    def slopes(_, state):
        speed = state[1:2]
        development = setup.developments[[0], gear_in_use(speed, setup.thresholds)]
        now = traction(speed, development, pedaller=setup.pedaller, drive=DRIVE)
        push = now.rider_force[0] + now.motor_force[0]
        net = push - hold - drag * speed[0] * abs(speed[0])
        return [speed[0], net / road.inertia[0], now.battery_power[0]]

    return slopes


def by_scipy(method: str, rtol: float) -> tuple[np.ndarray, float]:
    """Battery energy of the sample [J], and seconds for all scenarios in proportion."""
    start = time.perf_counter()
    found = [
        solve_ivp(
            slopes_of(grade), (0.0, DURATION), [0.0, 2.0, 0.0], method=method, rtol=rtol, atol=1e-6
        ).y[2, -1]
        for grade in GRADES[:: SCENARIOS // SAMPLE]
    ]
    return np.array(found), (time.perf_counter() - start) * SCENARIOS / len(found)


def by_steps(step: float) -> tuple[np.ndarray, float]:
    """The same by our ride, all scenarios at once."""
    setup = rig.setup(SCENARIOS, drive=DRIVE)
    start = time.perf_counter()
    ride = simulate(setup, step=step, duration=DURATION, grade=GRADES, start_speed=2.0)
    return ride.balance.battery[:: SCENARIOS // SAMPLE], time.perf_counter() - start


def main() -> None:
    say = sys.stdout.write
    exact, _ = by_scipy("DOP853", 1e-10)
    by_steps(1.0)
    rows = []
    for step in (0.8, 0.4, 0.2, 0.1):
        energy, seconds = min((by_steps(step) for _ in range(3)), key=lambda each: each[1])
        error = float(np.max(np.abs(energy / exact - 1.0)))
        rows.append((step, error, seconds))
        rate = SCENARIOS * DURATION / step / seconds
        say(
            f"ours, step {step} s: {seconds:.2f} s, error {error:.1e}, {rate / 1e6:.2f} million scenario-steps/s\n"
        )
    for rtol in (5e-4, 2e-4, 1e-4, 1e-5):
        energy, seconds = by_scipy("RK45", rtol)
        error = float(np.max(np.abs(energy / exact - 1.0)))
        say(f"scipy RK45, rtol {rtol:g}: {seconds:.1f} s in proportion, error {error:.1e}\n")
        fit = [ours for ours in rows if ours[1] <= error * 1.05]
        if fit:
            step, _, ours = min(fit, key=lambda each: each[2])
            say(
                f"  at that accuracy or better, ours (step {step} s) is {seconds / ours:.0f} times as fast\n"
            )


if __name__ == "__main__":
    main()
