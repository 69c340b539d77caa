"""What a publication of any size costs: to build, to build again, and to store.

Run as `python -m tests.benchmarks.sizes [bikes …]`; without numbers, 30, 100 and 300. One line for each size:

* cold       with nothing kept
* text       a guide edited
* price      a price edited that was seen
* one        one bike's mass edited by 100 g
* none       nothing changed
* peak       memory of all processes of the cold build together, each page of memory counted once (PSS)

and after them by how much the time grows with the number of bikes: the exponent of a power law through all sizes.
"""

import gzip
import math
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

import numpy as np

from tests.benchmarks.publication import write
from tests.project import ROOT

OFTEN = 1.0
"""Between two looks at memory; each takes some hundredths of a second of a large build. [s]"""
BIKE = "pellimor-quarl"
AS_USERS = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
"""Python keeps what it compiled, as where nobody has set anything; the first build of a benchmark may find it kept."""


class Run(NamedTuple):
    seconds: float
    peak: float
    """[MB]"""


def build(root: Path) -> Run:
    """A build as the command line has it, start of Python included."""
    began = time.perf_counter()
    command = [sys.executable, "-m", "generator", "build", "--root", str(root)]
    process = subprocess.Popen(
        command, cwd=ROOT, env=AS_USERS, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    )
    peak = 0.0
    while process.poll() is None:
        peak = max(peak, sum(map(memory, family(process.pid))))
        with suppress(subprocess.TimeoutExpired):
            process.wait(OFTEN)
    spent = time.perf_counter() - began
    if process.returncode:
        raise SystemExit(f"the build of {root} ended with {process.returncode}")
    return Run(spent, peak)


def family(pid: int) -> Iterator[int]:
    """A process and all that it started. From proc(5)."""
    yield pid
    with suppress(OSError):
        for task in os.listdir(f"/proc/{pid}/task"):
            for child in Path(f"/proc/{pid}/task/{task}/children").read_text().split():
                yield from family(int(child))


def memory(pid: int) -> float:
    """Proportional set size of a process. [MB]"""
    with suppress(OSError):
        for line in Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines():
            if line.startswith("Pss:"):
                return int(line.split()[1]) / 1024
    return 0.0


def edited(file: Path, old: str, new: str) -> None:
    """A file with something else at one place."""
    text = file.read_text("utf-8")
    assert old in text, f"{file} has no {old!r}"
    file.write_text(text.replace(old, new, 1), "utf-8")


def site(folder: Path) -> dict[str, float]:
    """Pages, whole size [MB], and largest page [KB]."""
    sizes = {path: path.stat().st_size for path in folder.rglob("*") if path.is_file()}
    pages = {path: size for path, size in sizes.items() if path.suffix == ".html"}
    largest = max(pages, key=lambda path: pages[path])
    return {
        "pages": len(pages),
        "MB": sum(sizes.values()) / 1e6,
        "KB": pages[largest] / 1e3,
        "KBgz": len(gzip.compress(largest.read_bytes())) / 1e3,
    }


def measure(count: int, folder: Path) -> float:
    """Print a line; seconds of the cold build."""
    root = folder / "publication"
    write(root, count)
    cold = build(root)
    guide = next((root / "content" / "guides").glob("*.md"))
    guide.write_text(guide.read_text("utf-8") + "\nMore.\n", "utf-8")
    text = build(root)
    edited(root / "content" / "prices.csv", ",5290,EUR,", ",5291,EUR,")
    price = build(root)
    edited(root / "bikes" / f"{BIKE}.yaml", "\nmass: 27.2 kg\n", "\nmass: 27.3 kg\n")
    one, none = build(root), build(root)
    made = site(root / "site")
    sys.stdout.write(
        f"{count:6} {cold.seconds:8.1f} {text.seconds:8.1f} {price.seconds:8.1f} {one.seconds:8.1f}"
        f" {none.seconds:8.2f} {cold.peak:8.0f}"
        f" {made['pages']:7} {made['MB']:8.1f} {made['KB']:8.0f} {made['KBgz']:8.1f}\n"
    )
    sys.stdout.flush()
    return cold.seconds


def main(counts: list[int]) -> None:
    titles = [
        "bikes",
        "cold,s",
        "text,s",
        "price,s",
        "one,s",
        "none,s",
        "peak,MB",
        "pages",
        "site,MB",
        "page,KB",
        "gzip,KB",
    ]
    sys.stdout.write(f"{titles[0]:>6} " + " ".join(f"{title:>8}" for title in titles[1:7]))
    sys.stdout.write(f" {titles[7]:>7} " + " ".join(f"{title:>8}" for title in titles[8:]) + "\n")
    times = []
    for count in counts:
        with tempfile.TemporaryDirectory(prefix="guide-sizes-") as folder:
            times.append(measure(count, Path(folder)))
    if len(counts) > 1:
        slope = np.polyfit(list(map(math.log, counts)), list(map(math.log, times)), 1)[0]
        sys.stdout.write(f"cold grows with the number of bikes to the power of {slope:.2f}\n")


if __name__ == "__main__":
    main([int(part) for part in sys.argv[1:]] or [30, 100, 300])
