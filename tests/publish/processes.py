"""Starting the pretend publisher and the real command in processes of their own."""

import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from generator.publish.build.pipeline import COMPUTING, DRAWING
from tests.project import ROOT


def pretend(out: Path, word: str, *options: str) -> subprocess.CompletedProcess[str]:
    """Publish a pretend site in its own process; see `tests.publish.pretend`."""
    return started("tests.publish.pretend", str(out), word, *options)


def generator(*arguments: str) -> subprocess.CompletedProcess[str]:
    """Run a command as a user does."""
    return started("generator", *arguments)


def started(module: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", module, *arguments],
        cwd=ROOT,
        text=True,
        capture_output=True,
        stdin=subprocess.DEVNULL,
        check=False,
    )


def complaints(stderr: str) -> list[str]:
    """Lines of a build's error stream but those that say what it is at."""
    phases = ("reading", COMPUTING, DRAWING)
    told = {f"{phase.capitalize()}." for phase in phases}
    return [line for line in stderr.splitlines() if line not in told]


def python(
    program: str,
    *arguments: str,
    before: Callable[[], object] | None = None,
    timeout: float | None = None,
) -> subprocess.CompletedProcess[str]:
    """Run a program that is given as text; `before` is called in its process first. TimeoutExpired after `timeout` [s]."""
    return subprocess.run(
        [sys.executable, "-c", program, *arguments],
        cwd=ROOT,
        text=True,
        capture_output=True,
        check=False,
        preexec_fn=before,
        timeout=timeout,
    )


def hears_signals() -> None:
    """For a new process: Ctrl-C is as usual, even where these tests were started in the background, which ignores it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
