"""What each job of an earlier build made and from what, so that the same is not made again.

A job that tells what it reads (`pages.crew.Job`) is left out when a job that read the same, with the same program and
templates, has made its files.

* Ledger       what the jobs of the last build made, and what those of this one make
* SiteLedger   of a site on disk, kept from one build to the next
"""

import hashlib
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output, Standing
from generator.pages.frame.recorder import Asked
from generator.pages.frame.renderer import Page
from generator.publish.cache.bike_memo import same
from generator.publish.cache.inputs import Inputs
from generator.publish.cache.store import Store
from generator.specs.problems import Problem


@dataclass(frozen=True)
class Entry:
    """What one job made, which had no error."""

    files: tuple[Standing, ...]
    pages: tuple[Page, ...]
    problems: tuple[Problem, ...]
    """Warnings."""
    used: frozenset[Path]
    """Files of the cache of charts that it asked for."""
    asked: Asked | None
    """What it asked of the catalogue, where that was noted."""


Entries = Mapping[str, Entry]
"""By hash of everything that a job depends on."""


class Ledger:
    """Without inputs nothing is known, and everything is made. Where files stand tells one that is derived."""

    def __init__(self, inputs: Inputs | None, before: Entries) -> None:
        self._same = same(inputs)
        self._before = before
        self.now: dict[str, Entry] = {}

    def standing(self, job: Job) -> Entry | None:
        """What the job made, where all of it stands and the job would make the same again."""
        name = self._name(job)
        entry = self._before.get(name) if name else None
        if entry is None or not all(map(self._stands, entry.files)):
            return None
        if job.witness and not (entry.asked and job.witness.stands(entry.asked)):
            return None
        self.now[name] = entry
        return entry

    def note(
        self,
        job: Job,
        made: Iterable[Output],
        pages: Iterable[Page],
        problems: Iterable[Problem],
        used: Iterable[Path],
        asked: Asked | None,
    ) -> None:
        """What a job made; `asked` is what its witness noted."""
        if name := self._name(job):
            self.now[name] = Entry(
                tuple(map(_standing, made)), tuple(pages), tuple(problems), frozenset(used), asked
            )

    def _stands(self, file: Standing) -> bool:
        """Does a file stand as it was made?"""
        raise NotImplementedError

    def _name(self, job: Job) -> str:
        """Hash of everything that the job depends on; empty where that is not told."""
        if not job.reads or not self._same:
            return ""
        return hashlib.sha256(f"{self._same}{job.reads}".encode()).hexdigest()


class SiteLedger(Ledger):
    """Of the site in `out`, which this build holds.

    A file stands there if it is as it was written, by size and time, as `make` and git look at files.
    """

    def __init__(self, store: Store, out: Path, inputs: Inputs | None) -> None:
        self._store, self._out = store, os.fspath(out)
        self._key = f"pages of {out.absolute()}"
        before, states = store.get(self._key) or ({}, {})
        self._states: Mapping[str, list[int]] = states
        super().__init__(inputs, before)

    def _stands(self, file: Standing) -> bool:
        try:
            now = os.stat(f"{self._out}/{file.path}", follow_symlinks=False)
        except OSError:
            return False
        return self._states.get(file.path) == [now.st_size, now.st_mtime_ns]

    def close(self, states: Mapping[str, list[int]]) -> None:
        """Keep it for the next build, once the site is in place; `states` are size and time of its files, by path."""
        if self.now:
            self._store.put(self._key, (self.now, states))


def _standing(file: Output) -> Standing:
    return Standing(file.path, file.digest, file.size, file.charts)
