"""A process that has loaded everything once, and makes a child for each command that is to be disturbed.

A child is the real command from `main` on, with the real signals; only Python's start is spared. The workers of a child
take small bites, so that the small publication is shared as a large one is.

`python -m tests.publish.nursery ROOT` builds ROOT once to warm up, then answers each line of JSON with another.
"""

import contextlib
import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import IO, Any

from generator.publish.build.interrupt import KINDS
from tests.project import ROOT

LONGEST = 100.0
"""A child that takes longer is stuck. [s]"""


class Nursery:
    """For tests: starts the process, and asks it."""

    def __init__(self, warm: Path) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.publish.nursery", str(warm)],
            cwd=ROOT,
            text=True,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )

    def run(self, *arguments: str, **wishes: Any) -> dict[str, Any]:
        """Exit code (negative for a signal), standard output and error, seconds, changes of the file system.

        Wishes: `die_at`, the number of the change before which the child is killed; `refuse_at` and `refuse_from`, that of
        the one change that the file system refuses, or of the first of all that it refuses, with `errno`; `after` and
        `signal`, to send it a signal so many seconds after its start; `victim`, "worker" to send it to a process of its
        pool instead; `workers`, how many work; `module` in place of the generator; `watched`, a folder and a file to write
        its states into, at every change.
        """
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.write(json.dumps({"arguments": arguments, **wishes}) + "\n")
        self._process.stdin.flush()
        answer: dict[str, Any] = json.loads(self._process.stdout.readline())
        return answer

    def close(self) -> None:
        self._process.communicate("")


def children(process: int) -> list[int]:
    """Processes that this one has made and that live."""
    listed = Path(f"/proc/{process}/task/{process}/children")
    with contextlib.suppress(OSError):
        return [int(word) for word in listed.read_text("ascii").split()]
    return []


def of_ours(process: int) -> bool:
    """Is it a worker? git too is started by a build."""
    with contextlib.suppress(OSError):
        return Path(f"/proc/{process}/comm").read_text("utf-8").strip() != "git"
    return False


def _answer(asked: dict[str, Any]) -> dict[str, Any]:
    with contextlib.ExitStack() as open_files:
        out, err, count = (open_files.enter_context(tempfile.TemporaryFile("w+")) for _ in range(3))
        started = time.monotonic()
        # A signal that comes before the command hears any waits for it: Python's start is another test's.
        signal.pthread_sigmask(signal.SIG_BLOCK, KINDS)
        child = os.fork()
        if not child:
            _live(asked, out, err, count)
        signal.pthread_sigmask(signal.SIG_UNBLOCK, KINDS)
        workers, seen = set[int](), set[int]()
        status, sent = 0, "signal" not in asked
        while not status:
            ended, status = os.waitpid(child, os.WNOHANG)
            if ended:
                break
            took = time.monotonic() - started
            workers.update(children(child))
            if not sent and took >= asked["after"]:
                aim = child
                if asked.get("victim") == "worker":
                    alive = [each for each in children(child) if each in seen and of_ours(each)]
                    seen = set(children(child))
                    # One that is alone may have done all there was for it, and nobody would miss it.
                    aim = alive[0] if len(alive) > 1 else 0
                if aim:
                    sent = True
                    with contextlib.suppress(ProcessLookupError):
                        os.kill(aim, asked["signal"])
            if took > LONGEST:
                os.kill(child, signal.SIGKILL)
            time.sleep(0.002)
        took = time.monotonic() - started
        said = [stream.seek(0) or stream.read() for stream in (out, err, count)]
        return {
            "code": os.waitstatus_to_exitcode(status),
            "out": said[0],
            "err": said[1],
            "changes": int(said[2] or 0),
            "seconds": took,
            "workers": sorted(workers),
        }


def _live(asked: dict[str, Any], out: IO[str], err: IO[str], count: IO[str]) -> None:
    """The child's whole life."""
    from generator import cli
    from generator.figures.table import parts
    from generator.publish.build import job_runner, worker_pool
    from tests.publish import disturbed, pretend

    os.dup2(out.fileno(), 1)
    os.dup2(err.fileno(), 2)
    with open(os.devnull) as nothing:
        os.dup2(nothing.fileno(), 0)
    job_runner.TOGETHER = parts.TOGETHER = 1
    workers = asked.get("workers", 1)
    worker_pool.count_workers = lambda: workers
    sys.dont_write_bytecode = True  # a change of the file system that comes once is none to count
    disturbed.changes(asked, count.fileno())
    sys.argv = [asked.get("module", "generator"), *asked["arguments"]]
    begin = pretend.main if "module" in asked else cli.commands

    def begun(**options: Any) -> Any:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, KINDS)
        return begin(**options)

    cli.commands = begun
    code: Any = 0
    try:
        (begun if "module" in asked else cli.main)()
    except SystemExit as end:
        code = end.code
        if isinstance(code, str):
            sys.stderr.write(code)
            code = 1
    except BaseException:
        import traceback

        traceback.print_exc()
        code = 99
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(code or 0)


def main() -> None:
    from generator.publish.build.build import build

    build(Path(sys.argv[1]))
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    for line in sys.stdin:
        print(json.dumps(_answer(json.loads(line))), flush=True)  # noqa: T201


if __name__ == "__main__":
    main()
