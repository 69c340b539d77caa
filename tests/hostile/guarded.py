"""A function run in a child process that may take so much time and memory and no more, so that a bomb ends a test and not
the machine.

* guarded    what the function returns, as JSON gives it back
"""

import json
import os
import resource
import signal
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOM = 700 << 20
"""Memory beyond what the parent has already. [B]"""
SECONDS = 20
"""Of processor time; the clock on the wall may show three times as much, since machines are busy."""


@dataclass(frozen=True)
class Spent:
    answer: Any
    seconds: float
    """On the wall."""


def guarded(function: Callable[[], Any], seconds: int = SECONDS, room: int = ROOM) -> Spent:
    """Fails when the child raises, hangs, or takes more than it may."""
    reading, writing = os.pipe()
    began = time.monotonic()
    child = os.fork()
    if not child:
        os.close(reading)
        _live(function, writing, seconds, room)
    os.close(writing)
    with os.fdopen(reading, "rb") as stream:
        said = stream.read()
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    assert code >= 0, f"ended by {signal.Signals(-code).name}: it took too long"
    answer = json.loads(said)
    assert code == 0, answer
    return Spent(answer, time.monotonic() - began)


def _live(function: Callable[[], Any], writing: int, seconds: int, room: int) -> None:
    """The child's whole life."""
    code = 0
    try:
        signal.signal(signal.SIGALRM, signal.SIG_DFL)
        signal.alarm(3 * seconds)
        pages = int(Path("/proc/self/statm").read_text("ascii").split()[0])
        most = pages * resource.getpagesize() + room
        resource.setrlimit(resource.RLIMIT_AS, (most, most))
        resource.setrlimit(resource.RLIMIT_CPU, (seconds + 5, seconds + 5))
        answer = function()
    except BaseException:
        answer, code = traceback.format_exc()[-2000:], 1
    with os.fdopen(writing, "wb") as stream:
        stream.write(json.dumps(answer, default=str).encode())
    os._exit(code)
