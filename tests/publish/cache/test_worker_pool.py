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
from generator.publish.cache import worker_pool as crew, forked
from generator.publish.build.build import build

forked.LEAST, forked.BATCH, parts.TOGETHER = 1, 1, 1
crew.hands = lambda: int(sys.argv[3])
print(build(Path(sys.argv[1]), Path(sys.argv[2])).charts)
"""

ORDER = """
from generator.publish.cache import worker_pool as crew

crew.hands = lambda: 2
print(list(crew.shared(lambda number: number * number, range(20))))
list(crew.shared(lambda number: 1 // number, [1, 0]))
"""

SLEEPERS = """
import os, time
from generator.publish.cache import worker_pool as crew

crew.hands = lambda: 2

def work(number):
    print(os.getpid(), flush=True)
    time.sleep(600)

list(crew.shared(work, [1, 2]))
"""


LEFT = """
from generator.publish.cache import worker_pool as crew

crew.hands = lambda: 2
for turn in range(12):
    large = crew.shared(lambda number: bytes(20_000_000 + number), range(9))
    print(len(next(large)), flush=True)
    large.close()
"""

HIRED = """
import multiprocessing, os, signal
from generator.publish.cache import worker_pool as crew
from generator.publish.build.interrupt import Interrupted, interruptible

crew.hands = lambda: 2
hire = crew._hire

def disturbed(*given):
    hire(*given)
    os.kill(os.getpid(), signal.SIGINT)

crew._hire = disturbed
signal.signal(signal.SIGINT, signal.default_int_handler)
try:
    with interruptible(), crew.begun(abs, [1, 2, 3]) as results:
        print(list(results))
except Interrupted:
    print("interrupted,", len(multiprocessing.active_children()), "left")
"""

BESIDE = """
import os
from generator.publish.cache import worker_pool as crew

crew.hands = lambda: 2
here = os.getpid()
with crew.begun(lambda thing: os.getpid() != here, ["thing"]) as results:
    print("here", flush=True)
    print(list(results))
"""

LOST = """
import os, signal
from generator.publish.cache import worker_pool as crew

crew.hands = lambda: 2

def work(number):
    if number == 3:
        os.kill(os.getpid(), signal.SIGKILL)
    return number

try:
    print(list(crew.shared(work, range(9))))
except crew.ProblemsFound as found:
    print(found.problems[0].what)
"""


HALF = """
import os, signal, threading, time
from generator.publish.cache import worker_pool as crew

crew.hands = lambda: 2

def work(number):
    threading.Timer(0.3, os.kill, (os.getpid(), signal.SIGKILL)).start()
    return bytes(20_000_000)

with crew.begun(work, [1, 2]) as results:
    time.sleep(1)
    try:
        print(len(list(results)))
    except crew.ProblemsFound as found:
        print(found.problems[0].what)
"""

MANY = """
from generator.publish.cache import worker_pool as crew

crew.hands = lambda: 2
count = 3 * crew.MOST_LAID_OUT
print(list(crew.shared(lambda number: number * number, range(count))) == [n * n for n in range(count)])
"""

NO_PIPE = """
import os, resource
from generator.publish.cache import worker_pool as crew

crew.hands = lambda: 2
here, held = os.getpid(), []
resource.setrlimit(resource.RLIMIT_NOFILE, (64, 64))
try:
    while True:
        held.append(os.dup(0))
except OSError:
    pass
print(set(crew.shared(lambda thing: os.getpid() == here, ["one", "two"])))
"""


DRAWN = """
import sys
from pathlib import Path
from generator.publish.cache import worker_pool as crew
from generator.publish.build.build import build

crew.hands = lambda: 2
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


def test_a_crew_builds_the_same_site(root: Path, tmp_path: Path) -> None:
    """By two processes, each with a bike of its own, and by one: every file alike, charts kept alike."""
    made = []
    for hands in ("1", "2"):
        out = tmp_path / hands
        ended = python(BUILD, str(root), str(out), hands)
        assert ended.returncode == 0, ended.stderr
        kept = sorted(path.name for path in (root / ".cache" / "charts").iterdir())
        files = {
            path.relative_to(out).as_posix(): path.read_bytes()
            for path in sorted(out.rglob("*"))
            if path.is_file()
        }
        made.append((ended.stdout, kept, files))

    assert int(made[0][0]) > 5
    assert made[0] == made[1]


def test_who_hires_a_crew_draws_no_chart(root: Path) -> None:
    """Its engine would not survive the next fork: the process that builds again and again for `watch` must stay without."""
    ended = python(DRAWN, str(root))

    assert ended.stdout.split() == ["False", "True"] * 2, ended.stderr


def test_order_is_kept_and_a_mistake_is_not_lost() -> None:
    ended = python(ORDER)

    assert ended.stdout.strip() == str([number * number for number in range(20)])
    assert ended.returncode == 1
    assert "ZeroDivisionError" in ended.stderr


def test_work_that_is_left_half_way_ends_at_once() -> None:
    """While large answers are on their way, as when a build is ended: once, such a build waited for the rest for ever."""
    ended = python(LEFT, timeout=60)

    assert (ended.stdout.split(), ended.stderr) == (["20000000"] * 12, "")


def test_a_signal_while_a_crew_is_hired_leaves_nobody() -> None:
    """It is held back until all are hired, and raised then: once, the end waited for the crew, which waited for work."""
    ended = python(HIRED, timeout=60)

    assert (ended.stdout.strip(), ended.stderr) == ("interrupted, 0 left", "")


def test_one_thing_may_be_begun_while_another_is_done() -> None:
    ended = python(BESIDE, timeout=60)

    assert ended.stdout.split() == ["here", "[True]"]


def test_one_that_is_lost_is_told() -> None:
    ended = python(LOST, timeout=60)

    assert ended.stdout.startswith("a process that shared the work was ended from outside")
    assert ended.stderr == ""


def test_one_that_is_lost_half_way_through_its_answer_is_told() -> None:
    """While the parent was at something else: what fits into the pipe had come, and not the rest."""
    ended = python(HALF, timeout=60)

    assert ended.stdout.startswith("a process that shared the work was ended from outside")
    assert ended.stderr == ""


def test_more_things_than_are_laid_out_at_once() -> None:
    assert python(MANY, timeout=60).stdout.strip() == "True"


def test_where_no_pipe_can_be_made_all_is_done_here() -> None:
    ended = python(NO_PIPE, timeout=60)

    assert (ended.stdout.strip(), ended.stderr) == ("{True}", "")


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
