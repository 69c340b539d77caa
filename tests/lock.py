"""`python -m tests.lock`: write anew which versions `.ci/run` and the workflows install, with the hash of every file.

Needs uv (`pip install uv`), and nothing else does. Versions that still fit stay; `--upgrade` takes the newest of all.
"""

import os
import shutil
import subprocess
import sys
import tomllib
from typing import Any

from tests.project import ROOT

FOLDER = ROOT / ".ci" / "lock"
OLDEST = "3.11"
"""One version of each package serves this Python and those after it."""
LEGACY = ["wheel"]
"""What older pips also want for source packages that do not say how they are built."""


def declared() -> dict[str, list[str]]:
    """What pyproject.toml asks for, by the file of the lock that answers it; `test` holds `run` too."""
    project: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    run = project["project"]["dependencies"]
    return {
        "build": [*project["build-system"]["requires"], *LEGACY],
        "run": run,
        "test": [*run, *project["project"]["optional-dependencies"]["test"]],
    }


def lock(name: str, wanted: list[str], *options: str) -> None:
    """Write one file of the lock; all agree with `test`, which is written before them."""
    command = ["uv", "pip", "compile", "--quiet", "--no-config", "--generate-hashes", "--universal"]
    command += ["--fork-strategy=fewest", f"--python-version={OLDEST}", "--no-header"]
    command += ["--no-annotate", "--no-emit-index-url", f"--output-file={FOLDER / name}.txt"]
    if name != "test":
        command.append(f"--constraint={FOLDER / 'test.txt'}")
    text = "\n".join(wanted)
    quiet = os.environ | {"NO_COLOR": "1"}
    subprocess.run(
        [*command, *options, "-"], input=text, text=True, check=True, cwd=ROOT, env=quiet
    )


def main(options: list[str]) -> int:
    if shutil.which("uv") is None:
        sys.stderr.write("This needs uv: pip install uv\n")
        return 1
    FOLDER.mkdir(exist_ok=True)
    wanted = declared()
    try:
        for name in ("test", "run", "build"):
            lock(name, wanted[name], *options)
    except subprocess.CalledProcessError as error:
        return error.returncode
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
