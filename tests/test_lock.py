"""The lock answers what pyproject.toml asks for, and holds nothing but names, versions and hashes."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

from tests.lock import FOLDER, declared

KINDS = sorted(declared())
each = pytest.mark.parametrize("kind", KINDS)
ENTRY = re.compile(
    r"([a-z0-9-]+)==([\w.]+)( ; [^\\]+)? \\\n((?:    --hash=sha256:[0-9a-f]{64}(?: \\)?\n)+)"
)
"""As pip's "Secure installs" has it: one exact version, and every hash that will do."""


def locked(kind: str) -> dict[str, str]:
    """Name and version of each package."""
    text = (FOLDER / f"{kind}.txt").read_text("ascii")
    return {found[1]: found[2] for found in ENTRY.finditer(text)}


@each
def test_every_dependency_is_locked_within_its_range(kind: str) -> None:
    held = locked(kind)
    asked = [Requirement(line) for line in declared()[kind]]

    assert asked
    for one in asked:
        version = held.get(canonicalize_name(one.name))
        assert version, f"{one.name} is not locked; run `python -m tests.lock`"
        assert Version(version) in one.specifier, f"{one}, locked at {version}"


@each
def test_a_lock_is_names_versions_and_hashes(kind: str) -> None:
    """No address, no path, no option: it is the same wherever it is installed from."""
    text = (FOLDER / f"{kind}.txt").read_text("ascii")

    assert ENTRY.sub("", text) == ""
    assert len(locked(kind)) > 2


def test_the_parts_of_the_lock_agree() -> None:
    """What is built, run and tested with has one version in all of them."""
    every = locked("test")

    assert locked("run").items() <= every.items()
    assert {
        name for name, version in locked("build").items() if every.get(name, version) != version
    } == set()


def test_the_kinds_are_those_that_are_written() -> None:
    assert {path.stem for path in FOLDER.iterdir()} == set(KINDS)


@each
def test_what_is_installed_is_complete(kind: str) -> None:
    """What the locked packages need here is locked too: an install from the lock alone leaves nothing open."""
    from importlib.metadata import PackageNotFoundError, distribution

    held = locked(kind)
    for name in held:
        try:
            needs = distribution(name).requires or []
        except PackageNotFoundError:  # for another system, or for building alone
            continue
        for line in needs:
            need = Requirement(line)
            if need.marker is None or need.marker.evaluate({"extra": ""}):
                assert canonicalize_name(need.name) in held, f"{name} needs {line}"


def test_without_uv_it_says_what_to_install(tmp_path: Path) -> None:
    before = {path: path.read_bytes() for path in FOLDER.iterdir()}
    ended = subprocess.run(
        [sys.executable, "-m", "tests.lock"],
        cwd=FOLDER.parents[1],
        env={"PATH": str(tmp_path)},
        text=True,
        capture_output=True,
        check=False,
    )

    assert (ended.returncode, ended.stderr) == (1, "This needs uv: pip install uv\n")
    assert {path: path.read_bytes() for path in FOLDER.iterdir()} == before
