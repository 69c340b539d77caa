"""Milliseconds of one core that the tables behind "your ride" cost: per bike and per level.

Run as `python -m tests.benchmarks.ride_grid [repeats]`.
"""

import sys
import time

from generator.figures.inputs import levels
from generator.figures.rides import ride_grid_build
from tests.figures import demo


def main(repeats: int) -> None:
    bikes, content = demo.bikes(), demo.content()
    ride_grid_build.compute_ride_grids(bikes[:1], content)  # compiles
    best = float("inf")
    for _ in range(repeats):
        start = time.process_time()
        ride_grid_build.compute_ride_grids(bikes, content)
        best = min(best, time.process_time() - start)
    count = sum(levels.count_levels(bike) for bike in bikes)
    sys.stdout.write(
        f"{1000 * best / len(bikes):.0f} ms a bike, {1000 * best / count:.1f} ms a level\n"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
