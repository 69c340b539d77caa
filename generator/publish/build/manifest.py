"""The manifest of a build: what the site was made from, the state of its files, and what each job made and asked.

* Manifest         of one build, as it is kept
* JobRecord        what one job made, what it asked, and a fingerprint of the answers
* find_unchanged   the summary of a site that was built from the same and stands as it was built

Imports nothing heavy: a build that finds nothing to do reads no more than this.
"""

import os
import stat
from dataclasses import dataclass, field, replace
from pathlib import Path

from generator.pages.frame.output import PageSummary, UnchangedFile
from generator.publish.build.paths import States, state
from generator.publish.build.summary import Summary
from generator.publish.cache.cache import Cache
from generator.specs.encoding import decode, encode, fingerprint
from generator.specs.problems import Problem


@dataclass(frozen=True)
class JobRecord:
    """A job that had no error."""

    files: tuple[UnchangedFile, ...]
    pages: tuple[PageSummary, ...]
    problems: tuple[Problem, ...]
    """Warnings."""
    queries: tuple[tuple[str, str], ...]
    answers: str
    """Fingerprint of what the queries were answered."""


@dataclass(frozen=True)
class Manifest:
    inputs: str = ""
    """Fingerprint of everything that the site was made from."""
    base: str = ""
    """Fingerprint of what every job depends on: the program, its packages and all templates."""
    summary: Summary | None = None
    states: States = field(default_factory=dict)
    """Size and time of each file as it was written, by path."""
    jobs: dict[str, JobRecord] = field(default_factory=dict)
    """By the job's key."""

    def keep(self, cache: Cache, root: Path, out: Path) -> None:
        cache.put(_key(root, out), encode(self))


def read_manifest(cache: Cache, root: Path, out: Path) -> Manifest:
    """Return the manifest of the last build of a site; an empty one where there is none."""
    found = cache.get(_key(root, out))
    try:
        return decode(Manifest, found) if found else Manifest()
    except ValueError:  # of an earlier version of the program
        return Manifest()


def find_unchanged(manifest: Manifest, inputs: str, out: Path) -> Summary | None:
    """Return the summary of the site in `out`, if it was built from these inputs and stands as it was built."""
    if manifest.summary is None or manifest.inputs != inputs:
        return None
    try:
        if any(_state_of(out, path) != each for path, each in manifest.states.items()):
            return None
    except OSError:
        return None
    return replace(manifest.summary, kept=True)


def _key(root: Path, out: Path) -> str:
    return fingerprint("manifest", os.fsencode(root.absolute()), os.fsencode(out.absolute()))


def _state_of(out: Path, path: str) -> list[int] | None:
    """Return the state of a file of the site that stands there; None for what is no plain file."""
    now = os.stat(f"{out}/{path}", follow_symlinks=False)
    return state(now) if stat.S_ISREG(now.st_mode) else None
