"""Seconds for all figures of a catalogue, and the cost of one more bike.

Run as `python -m tests.benchmarks.catalogue [bikes …]`; without numbers, for the demo bikes once, four and ten times over.
Further bikes are the demo's with mass, battery and motor varied, so that nothing is shared between them.
"""

import sys
import time
from dataclasses import replace

import numpy as np

from generator.figures.table.tabulate import tabulate
from generator.specs.bike import Bike, Stated
from tests.figures import demo

REPEATS = 3


def varied(bike: Bike, number: int, random: np.random.Generator) -> Bike:
    """Another bike like it."""

    def other(quantity: Stated | None) -> Stated | None:
        return quantity and replace(quantity, value=quantity.value * random.uniform(0.9, 1.1))

    motor = replace(bike.motor, torque=other(bike.motor.torque))
    return replace(bike, slug=f"{bike.slug}-{number}", mass=other(bike.mass), motor=motor)


def catalogue(count: int) -> list[Bike]:
    random = np.random.default_rng(1)
    plain = list(demo.bikes())
    rounds = range(-(-count // len(plain)))
    return [
        varied(bike, number, random) if number else bike for number in rounds for bike in plain
    ][:count]


def seconds(count: int) -> tuple[float, int]:
    """Best of several, and the number of figures."""
    bikes, best, figures = catalogue(count), float("inf"), 0
    for _ in range(REPEATS):
        start = time.perf_counter()
        figures = len(tabulate(bikes, demo.content()).list_records())
        best = min(best, time.perf_counter() - start)
    return best, figures


def main(counts: list[int]) -> None:
    say = sys.stdout.write
    start = time.perf_counter()
    tabulate(demo.bikes()[:1], demo.content())
    say(
        f"one bike, compiled code read from its cache or compiled: {time.perf_counter() - start:.2f} s\n"
    )
    taken = []
    for count in counts:
        spent, figures = seconds(count)
        taken.append(spent)
        say(f"{count} bikes, {figures} figures: {spent:.2f} s\n")
    if len(counts) > 1:
        further = (taken[-1] - taken[0]) / (counts[-1] - counts[0])
        say(f"each further bike: {1000 * further:.0f} ms\n")


if __name__ == "__main__":
    main([int(part) for part in sys.argv[1:]] or [30, 120, 300])
