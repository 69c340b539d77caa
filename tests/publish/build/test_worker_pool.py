"""Work shared among processes: the same result, in order, and nobody left behind."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

from tests.project import ROOT
from tests.publish.processes import python

BUILD = """
import sys
from pathlib import Path
from generator.figures.table import parts
from generator.publish.build import job_runner, worker_pool
from generator.publish.build.build import build

job_runner.TOGETHER = parts.TOGETHER = 1
worker_pool.count_workers = lambda: int(sys.argv[3])
print(build(Path(sys.argv[1]), Path(sys.argv[2])).charts)
"""

ORDER = """
from generator.publish.build import worker_pool

worker_pool.count_workers = lambda: 2
print(list(worker_pool.map_in_processes(lambda number: number * number, range(20))))
list(worker_pool.map_in_processes(lambda number: 1 // number, [1, 0]))
"""

SLEEPERS = """
import os, time
from generator.publish.build import worker_pool

worker_pool.count_workers = lambda: 2

def work(number):
    print(os.getpid(), flush=True)
    time.sleep(600)

list(worker_pool.map_in_processes(work, [1, 2]))
"""


LEFT = """
from generator.publish.build import worker_pool

worker_pool.count_workers = lambda: 2
for turn in range(12):
    large = worker_pool.map_in_processes(lambda number: bytes(20_000_000 + number), range(9))
    print(len(next(large)), flush=True)
    large.close()
"""

STARTED = """
import multiprocessing, os, signal
from generator.publish.build import worker_pool
from generator.publish.build.interrupt import Interrupted, interruptible

worker_pool.count_workers = lambda: 2
start = worker_pool._CONTEXT.Process.start

def disturbed(process):
    start(process)
    os.kill(os.getpid(), signal.SIGINT)

worker_pool._CONTEXT.Process.start = disturbed
signal.signal(signal.SIGINT, signal.default_int_handler)
try:
    with interruptible(), worker_pool.start_in_processes(abs, [1, 2, 3]) as results:
        print(list(results))
except Interrupted:
    print("interrupted,", len(multiprocessing.active_children()), "left")
"""

BESIDE = """
import os
from generator.publish.build import worker_pool

worker_pool.count_workers = lambda: 2
here = os.getpid()
with worker_pool.start_in_processes(lambda thing: os.getpid() != here, ["thing"]) as results:
    print("here", flush=True)
    print(list(results))
"""

LOST = """
import os, signal
from generator.publish.build import worker_pool

worker_pool.count_workers = lambda: 2

def work(number):
    if number == 3:
        os.kill(os.getpid(), signal.SIGKILL)
    return number

try:
    print(list(worker_pool.map_in_processes(work, range(9))))
except worker_pool.ProblemsFound as found:
    print(found.problems[0].what)
"""


HALF = """
import os, signal, threading, time
from generator.publish.build import worker_pool

worker_pool.count_workers = lambda: 2

def work(number):
    threading.Timer(0.3, os.kill, (os.getpid(), signal.SIGKILL)).start()
    return bytes(20_000_000)

with worker_pool.start_in_processes(work, [1, 2]) as results:
    time.sleep(1)
    try:
        print(len(list(results)))
    except worker_pool.ProblemsFound as found:
        print(found.problems[0].what)
"""

DRAWN = """
import sys
from pathlib import Path
from generator.publish.build import worker_pool
from generator.publish.build.build import build

worker_pool.count_workers = lambda: 2
root = Path(sys.argv[1])
for turn in range(2):
    for text in root.glob("content/glossary/*.md"):
        text.write_text(text.read_text() + '\\n{{ chart("price.range", "CHF") }}\\n')
    for bike in root.glob("bikes/*.yaml"):
        bike.write_text(bike.read_text().replace(" EUR", " CHF").replace("  list: ", "  list: 1"))
    build(root)
    drawn = [page for page in root.glob("site/glossary/*/index.html") if "<svg" in page.read_text()]
    print("vl_convert" in sys.modules, bool(drawn))
"""


def test_two_processes_build_the_same_site(root: Path, tmp_path: Path) -> None:
    """Each with a bike of its own, and one process alone: every file alike."""
    made = []
    for workers in ("1", "2"):
        out = tmp_path / workers
        ended = python(BUILD, str(root), str(out), workers)
        assert ended.returncode == 0, ended.stderr
        files = {
            path.relative_to(out).as_posix(): path.read_bytes()
            for path in sorted(out.rglob("*"))
            if path.is_file()
        }
        made.append((ended.stdout, files))

    assert int(made[0][0]) > 5
    assert made[0] == made[1]


def test_the_process_that_forks_draws_no_chart(root: Path) -> None:
    """Its engine would not survive the next fork: the process that builds again and again for `watch` must stay without."""
    ended = python(DRAWN, str(root))

    assert ended.stdout.split() == ["False", "True"] * 2, ended.stderr


def test_order_is_kept_and_a_mistake_is_not_lost() -> None:
    ended = python(ORDER)

    assert ended.stdout.strip() == str([number * number for number in range(20)])
    assert ended.returncode == 1
    assert "ZeroDivisionError" in ended.stderr


def test_work_that_is_left_half_way_ends_at_once() -> None:
    """While large answers are on their way, as when a build is ended."""
    ended = python(LEFT, timeout=60)

    assert (ended.stdout.split(), ended.stderr) == (["20000000"] * 12, "")


def test_a_signal_while_workers_start_leaves_nobody() -> None:
    """It ends the build at once, and the workers with it."""
    ended = python(STARTED, timeout=60)

    assert (ended.stdout.strip(), ended.stderr) == ("interrupted, 0 left", "")


def test_work_goes_on_while_this_process_does_something_else() -> None:
    ended = python(BESIDE, timeout=60)

    assert ended.stdout.split() == ["here", "[True]"]


def test_a_worker_that_is_lost_is_a_problem() -> None:
    ended = python(LOST, timeout=60)

    assert ended.stdout.startswith("a process that shared the work was ended from outside")
    assert ended.stderr == ""


def test_one_that_is_lost_half_way_through_its_answer_is_told() -> None:
    """While the parent was at something else: what fits into the pipe had come, and not the rest."""
    ended = python(HALF, timeout=60)

    assert ended.stdout.startswith("a process that shared the work was ended from outside")
    assert ended.stderr == ""


def test_nobody_outlives_a_killed_build() -> None:
    with subprocess.Popen(
        [sys.executable, "-c", SLEEPERS], cwd=ROOT, text=True, stdout=subprocess.PIPE
    ) as parent:
        assert parent.stdout
        workers = [int(parent.stdout.readline()) for _ in range(2)]
        assert all(map(alive, workers))
        parent.send_signal(signal.SIGKILL)
        parent.wait()
        deadline = time.monotonic() + 20
        while any(map(alive, workers)) and time.monotonic() < deadline:
            time.sleep(0.05)

        assert not any(map(alive, workers))


def alive(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return "Z" not in Path(f"/proc/{process}/stat").read_text("utf-8").rpartition(")")[2].split()[0]
