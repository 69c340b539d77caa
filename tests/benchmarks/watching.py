"""Seconds from saving a bike's file to its new page, while `watch` runs.

Run as `python -m tests.benchmarks.watching [bikes …]`; without numbers, for the demo and for 120 bikes. A save writes
another mass; the page counts as new when the server of `watch` gives one that names it. Half of the saves come while
the whole site is still being built anew for the one before, as when somebody goes on typing.
"""

import sys
import tempfile
import threading
import time
import urllib.request
from contextlib import suppress
from pathlib import Path

from generator.publish.watch.running import watch_publication
from tests.benchmarks.publication import write

SAVES = 6
PATIENCE = 120.0
"""[s]"""
BIKE = "pellimor-quarl"


def page(address: str) -> str:
    with urllib.request.urlopen(f"{address}bikes/{BIKE}/index.html") as answer:
        return answer.read().decode()


def until(address: str, words: str) -> float:
    """Seconds until the page says so."""
    began = time.perf_counter()
    while (spent := time.perf_counter() - began) < PATIENCE:
        with suppress(OSError):
            if words in page(address):
                return spent
        time.sleep(0.01)
    raise TimeoutError(f"{words} did not come in {PATIENCE} s")


def measure(root: Path) -> tuple[float, list[float], list[float]]:
    """Seconds of the first build, of saves when nothing is being built, and of saves during a build."""
    ended, ready, told = threading.Event(), threading.Event(), []
    lines: list[str] = []

    def answers(address: str) -> None:
        told.append(address)
        ready.set()

    thread = threading.Thread(
        target=watch_publication, args=(root, 0, lines.append, ended, answers)
    )
    thread.start()
    ready.wait()
    file = root / "bikes" / f"{BIKE}.yaml"
    text = file.read_text("utf-8")
    mass = next(line for line in text.splitlines() if line.startswith("mass:"))
    first = until(told[0], "In short")
    idle: list[float] = []
    busy: list[float] = []
    for number in range(2 * SAVES):
        builds = sum("whole site" in line for line in lines)
        new = f"{20.05 + 0.1 * number:.2f}"
        file.write_text(text.replace(mass, f"mass: {new} kg"), "utf-8")
        (busy if number % 2 else idle).append(until(told[0], f'value="{new}"'))
        while number % 2 and sum("whole site" in line for line in lines) == builds:
            time.sleep(0.05)
        time.sleep(2.0)  # until a whole build has begun, or for one to be done with
    ended.set()
    thread.join()
    return first, idle, busy


def main(counts: list[int]) -> None:
    say = sys.stdout.write
    for count in counts:
        with tempfile.TemporaryDirectory(prefix="guide-watching-") as folder:
            root = Path(folder) / "publication"
            write(root, count)
            first, idle, busy = measure(root)
        for name, found in (("nothing else at work", idle), ("a whole build at work", busy)):
            ordered = sorted(found)
            say(
                f"{count} bikes, {name}: {ordered[0]:.2f} to {ordered[-1]:.2f} s, "
                f"in the middle {ordered[len(ordered) // 2]:.2f} s from save to page\n"
            )
        say(f"{count} bikes, first build: {first:.1f} s\n")


if __name__ == "__main__":
    main([int(part) for part in sys.argv[1:]] or [30, 120])
