"""`python -m tests`: every check of the project, in the order of what fails fastest.

The browser tests need a Chromium and the HTML checker needs Java. As root on Debian both are
installed when they are missing; otherwise this says what to install, and ends. Nothing is skipped.

Arguments go on to pytest, such as `python -m tests tests/compute -k air`; then only pytest runs.
"""

import os
import shutil
import subprocess
import sys

from tests.project import ROOT

PROGRAMS = {"chromium": "chromium", "java": "default-jre-headless"}
"""What the tests start, and Debian's package of it."""

ON_ALL_CORES = ("--numprocesses", "auto", "--dist", "loadfile")
"""What one file sets up once, such as a built site, stays with one worker."""

CHECKS = (
    ("ruff", "check", "."),
    ("ruff", "format", "--check", "."),
    ("mypy",),
    ("generator", "vet"),
    ("pytest", *ON_ALL_CORES),
)


def missing_packages() -> list[str]:
    return [package for program, package in PROGRAMS.items() if shutil.which(program) is None]


def install(packages: list[str]) -> None:
    """Install Debian packages, or end with what somebody has to install."""
    if os.geteuid() == 0 and shutil.which("apt-get"):
        quiet = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
        for command in (["update"], ["install", "--yes", "--no-install-recommends", *packages]):
            subprocess.run(
                ["apt-get", "-qq", *command], env=quiet, stdin=subprocess.DEVNULL, check=False
            )
    if still := missing_packages():
        names = " ".join(still)
        print(f"The tests need these Debian packages: {names}", file=sys.stderr)
        print(f"  sudo apt-get install --no-install-recommends {names}", file=sys.stderr)
        sys.exit(1)


def run(tool: str, *arguments: str) -> bool:
    """Run one Python tool at the project's root. True when it found nothing."""
    sys.stdout.flush()
    command = [sys.executable, "-m", tool, *arguments]
    return subprocess.run(command, cwd=ROOT, stdin=subprocess.DEVNULL, check=False).returncode == 0


def main(arguments: list[str]) -> int:
    if missing := missing_packages():
        install(missing)
    if arguments:
        return 0 if run("pytest", *arguments) else 1
    failed = [" ".join(check) for check in CHECKS[:-1] if not run(*check)]
    if failed:
        print(f"Failed: {', '.join(failed)}. The tests run all the same.", flush=True)
    passed = run(*CHECKS[-1])
    return 0 if passed and not failed else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
