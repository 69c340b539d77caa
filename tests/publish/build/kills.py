"""A real build, ended at moments that chance picks, over and over: what stands there afterwards is the one site or the other.

Run as `python -m tests.publish.build.kills --times 200 --seed 1`; each time takes about as long as a build. Two publications of
three bikes take turns at one folder, each over the other's site, while a reader opens pages of it without end. Half of
the ends come anywhere in a build. The other half wait until the last file of the new site is written, or one shortly
before, and so come about the swap, most within the first milliseconds. Most are `kill -9`, the others a polite kill or
Ctrl-C. After each the site is compared byte for byte with the two that a build gives in peace. The next build finds what
the last one left, and must not stop at its lock, must clear it away once it is at work, and every tenth is left in peace
and must be whole. The exit code is 1 when anything was otherwise.
"""

import argparse
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from generator.publish.build.paths import MANIFEST
from generator.publish.build.swap import beside
from tests.project import ROOT
from tests.publish.conftest import publication
from tests.publish.disturbed import state
from tests.publish.processes import hears_signals

KINDS = (signal.SIGKILL,) * 3 + (signal.SIGTERM, signal.SIGINT)
"""One of these, evenly drawn, ends a build."""
ENDS = {signal.SIGKILL: -signal.SIGKILL, signal.SIGTERM: 143, signal.SIGINT: 130}
EARLY = {signal.SIGTERM: -signal.SIGTERM, signal.SIGINT: -signal.SIGINT}
"""Exit codes of a command that was ended before it heard signals."""
PYTHON_STARTS = "init_import_site"
SIGNS = (MANIFEST, "sitemap.xml")
"""Files that are written last, and shortly before."""
THIRD = "pellimor-quarl"


@dataclass
class Sides:
    """Two publications, the site that each of them makes, and the folder where they take turns."""

    roots: dict[str, Path]
    sites: dict[str, Path]
    out: Path
    states: dict[str, str] = field(default_factory=dict)
    sources: dict[str, str] = field(default_factory=dict)

    def word(self) -> str:
        """Whose site stands there: `one`, `other`, or `half` for what no build has made."""
        now = state(self.out)
        return next((word for word, whole in self.states.items() if whole == now), "half")

    def next(self) -> str:
        """Whose site is to come."""
        return "other" if self.word() == "one" else "one"

    def leavings(self) -> set[str]:
        return {path.name for path in self.out.parent.iterdir() if path != self.out}

    def wrongly_left(
        self, build: subprocess.Popen[str], before: set[str], may_leave: bool
    ) -> set[str]:
        """What lies beside the site and should not: of an earlier build once this one was at work, or of a polite end."""
        own = {beside(self.out, what).name for what in (f"staging-{build.pid}", "lock")}
        left = self.leavings()
        if not may_leave:
            return left - (before if build.returncode else set())
        at_work = beside(self.out, f"staging-{build.pid}").exists()
        return left - own - (set() if at_work else before)

    def untouched(self) -> bool:
        return all(sources(root) == self.sources[word] for word, root in self.roots.items())


def sources(root: Path) -> str:
    return state(root / "bikes") + state(root / "content")


def sides(folder: Path) -> Sides:
    """Both publications, built in peace."""
    one = publication(folder / "one")
    shutil.copy(ROOT / "bikes" / f"{THIRD}.yaml", one / "bikes")
    other = shutil.copytree(one, folder / "other")
    settings = other / "content" / "site.yaml"
    settings.write_text(settings.read_text("utf-8").replace("tagline: ", "tagline: Other. ", 1))
    (other / "bikes" / "pellimor-trial.yaml").rename(other / "bikes" / "pellimor-zeal.yaml")
    roots = {"one": one, "other": other}
    made = Sides(roots, {word: folder / f"site-{word}" for word in roots}, folder / "www" / "site")
    for word, root in roots.items():
        peaceful(root, made.sites[word])
        made.states[word] = state(made.sites[word])
        made.sources[word] = sources(root)
    assert made.states["one"] != made.states["other"]
    peaceful(one, made.out)
    return made


def started(root: Path, out: Path) -> subprocess.Popen[str]:
    command = (sys.executable, "-m", "generator", "build", "--root", str(root), "--out", str(out))
    return subprocess.Popen(
        command,
        cwd=ROOT,
        text=True,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        preexec_fn=hears_signals,
    )


def peaceful(root: Path, out: Path) -> str:
    """A build that nobody ends. Returns what it said on its way to an error, if anything."""
    build = started(root, out)
    said = build.communicate()[1]
    return "" if build.returncode == 0 else said or f"exit code {build.returncode}"


def pages(made: Sides) -> dict[str, list[str | None]]:
    """What a reader may see at each path of either site."""
    lists = [json.loads((site / MANIFEST).read_text("utf-8")) for site in made.sites.values()]
    return {path: [each.get(path) for each in lists] for path in {*lists[0], *lists[1]}}


@contextmanager
def reader(made: Sides) -> Iterator[dict[str, Any]]:
    """Reads as long as the block runs; what it saw is there at its end."""
    told: dict[str, Any] = {}
    listed = made.out.parent.parent / "pages.json"
    listed.write_text(json.dumps(pages(made)), "utf-8")
    command = (sys.executable, "-m", "tests.publish.fetching", str(made.out), str(listed))
    process = subprocess.Popen(
        command, cwd=ROOT, text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    assert process.stdout
    assert process.stdout.readline() == "reading\n"
    try:
        yield told
    finally:
        told |= json.loads(process.communicate("end\n")[0])


def swapping(build: subprocess.Popen[str], made: Sides, sign: str = MANIFEST) -> bool:
    """Waits until that file of the next site is written. False when the build ends before."""
    last = beside(made.out, f"staging-{build.pid}") / sign
    while build.poll() is None:
        for _ in range(200):
            if os.path.exists(last):
                return True
    return False


def swap_takes(made: Sides) -> float:
    """Seconds from the last file of the new site to the end of the build."""
    build = started(made.roots[made.next()], made.out)
    assert swapping(build, made)
    began = time.perf_counter()
    build.communicate()
    return time.perf_counter() - began


@dataclass(frozen=True)
class Ended:
    kind: signal.Signals
    about_swap: bool
    after: float
    """Of the whole build, or from the last file of the new site. [s]"""
    code: int
    stands: str
    """`old`, `new` or `half`."""
    faults: tuple[str, ...]


def end_one(made: Sides, kind: signal.Signals, sign: str, after: float) -> Ended:
    """End the build of the site that does not stand there, and look."""
    old, before = made.word(), made.leavings()
    new = made.next()
    build = started(made.roots[new], made.out)
    about_swap = bool(sign)
    if about_swap:
        swapping(build, made, sign)
    until = time.perf_counter() + after
    while time.perf_counter() < until:
        if not about_swap or until - time.perf_counter() > 0.01:
            time.sleep(0.0005)
    build.send_signal(kind)
    said = build.communicate()[1]
    word = made.word()
    stands = {"half": "half", new: "new", old: "old"}[word]
    faults = [f"{kind.name} left half a site"] if word == "half" else []
    starting = (
        PYTHON_STARTS in said
    )  # Ctrl-C came to Python itself, before it had read a line of ours
    if build.returncode not in (0, ENDS[kind], EARLY.get(kind, 0)) and not starting:
        faults.append(f"exit code {build.returncode} after {kind.name}: {said}")
    if "Traceback" in said and not starting:
        faults.append(f"a traceback: {said[-300:]}")
    if wrong := made.wrongly_left(build, before, kind == signal.SIGKILL and build.returncode != 0):
        faults.append(f"{kind.name} left {wrong}")
    if not made.untouched():
        faults.append("bikes or content changed")
    return Ended(kind, about_swap, after, build.returncode, stands, tuple(faults))


def in_peace(made: Sides) -> list[str]:
    """What is wrong when the next build is let be."""
    new = made.next()
    faults = [said] if (said := peaceful(made.roots[new], made.out)) else []
    if left := made.leavings():
        faults.append(f"a build in peace left {left}")
    if made.word() != new:
        faults.append("a build in peace did not put its site there")
    return faults


def run(times: int, seed: int, made: Sides, longest: float) -> tuple[list[Ended], dict[str, Any]]:
    """End so many builds, or as many as there is time for. [s]"""
    draw = random.Random(seed)
    began = time.perf_counter()
    peaceful(
        made.roots[made.next()], made.out
    )  # the other: a build of the same would find nothing to do
    whole, swap = time.perf_counter() - began, swap_takes(made)
    ends: list[Ended] = []
    more: list[str] = []
    with reader(made) as told:
        for number in range(times):
            if time.perf_counter() - began > longest:
                break
            about_swap = number % 2 == 1
            after = swap * 10 ** draw.uniform(-4, 0) if about_swap else draw.uniform(0, whole)
            sign = draw.choice(SIGNS) if about_swap else ""
            ends.append(end_one(made, draw.choice(KINDS), sign, after))
            if number % 10 == 9:
                more += in_peace(made)
            for fault in ends[-1].faults:
                tell(f"{number}: {fault}")
    return ends, told | {"build": whole, "swap": swap, "more": more}


def summary(ends: list[Ended], told: dict[str, Any]) -> Iterator[str]:
    """What happened, in lines."""
    yield f"A build in peace takes {told['build']:.2f} s, {told['swap']:.3f} s of it from its last file on."
    for about_swap, name in ((False, "anywhere in a build"), (True, "about the swap")):
        chosen = [end for end in ends if end.about_swap == about_swap]
        if not chosen:
            continue
        counts = Counter(end.stands for end in chosen)
        kinds = Counter(end.kind.name for end in chosen)
        late = sum(end.code == 0 for end in chosen)
        spread = sorted(end.after for end in chosen)
        middle = spread[len(spread) // 2]
        yield (
            f"{name}: {len(chosen)} ends ({', '.join(f'{n} {k}' for k, n in sorted(kinds.items()))}), "
            f"after {spread[0]:.3f} to {spread[-1]:.3f} s, middle {middle:.3f}: "
            f"{counts['old']} old, {counts['new']} new, {counts['half']} half; {late} came too late"
        )
    yield (
        f"Reader: {told['fetched']} pages, {len(told['wrong'])} of no whole site, "
        f"{told['again']} opened a second time."
    )
    yield f"Faults: {sum(len(end.faults) for end in ends) + len(told['more'])}"


def tell(line: str) -> None:
    print(line, flush=True)  # noqa: T201


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=60.0, help="Start none after these.")
    wanted = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        made = sides(Path(folder))
        ends, told = run(wanted.times, wanted.seed, made, 60 * wanted.minutes)
    for line in [*summary(ends, told), *map(str, told["wrong"][:20])]:
        tell(line)
    return int(bool(told["wrong"] or told["more"]) or any(end.faults for end in ends))


if __name__ == "__main__":
    sys.exit(main())
