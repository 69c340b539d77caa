"""Who makes the pages of a build: several processes, and nobody where the pages stand.

* Forked    a `pages.crew.Crew`
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output, Standing
from generator.pages.frame.recorder import Asked
from generator.pages.frame.renderer import Page, Renderer
from generator.publish.cache import worker_pool
from generator.publish.cache.manifest import Entry, Ledger
from generator.specs.problems import Problem

LEAST = 16
"""Fewer short jobs than this are not worth a crew."""
BATCH = 4
"""Jobs that a process takes at a time."""


@dataclass(frozen=True)
class _Made:
    """What a job made."""

    outputs: list[Output]
    pages: list[Page]
    problems: list[Problem]
    used: set[Path]
    asked: Asked | None


class Forked:
    """Makes pages in several processes; `used` are the files of the cache that they asked for."""

    def __init__(self, used: set[Path], ledger: Ledger | None = None) -> None:
        self._used, self._ledger = used, ledger

    @contextmanager
    def __call__(
        self, renderer: Renderer, jobs: Sequence[Job], long: Sequence[Job]
    ) -> Iterator[Iterator[Output | Standing]]:
        standing: list[Entry] = []
        to_do: tuple[list[Job], list[Job]] = ([], [])
        for some, left in zip((jobs, long), to_do, strict=True):
            for job in some:
                if entry := self._ledger.standing(job) if self._ledger else None:
                    standing.append(entry)
                else:
                    left.append(job)
        with self._making(renderer, *to_do) as made:
            yield self._outputs(renderer, standing, made)

    def _outputs(
        self, renderer: Renderer, standing: Iterable[Entry], made: Iterable[tuple[Job, _Made]]
    ) -> Iterator[Output | Standing]:
        for entry in standing:
            renderer.pages += entry.pages
            renderer.problems += entry.problems
            self._used |= entry.used
            yield from entry.files
        for job, each in made:
            if self._ledger and not any(one.severity == "error" for one in each.problems):
                self._ledger.note(
                    job, each.outputs, each.pages, each.problems, each.used, each.asked
                )
            yield from each.outputs

    @contextmanager
    def _making(
        self, renderer: Renderer, jobs: Sequence[Job], long: Sequence[Job]
    ) -> Iterator[Iterator[tuple[Job, _Made]]]:
        """Each job with what it made, as it comes; sheets and problems are with the press then."""

        def make(job: Job) -> _Made:
            pages, problems, before = len(renderer.pages), len(renderer.problems), set(self._used)
            self._used.clear()
            outputs = list(job.make())
            used = set(self._used)
            self._used |= before
            asked = job.witness.asked() if job.witness and self._ledger else None
            return _Made(outputs, renderer.pages[pages:], renderer.problems[problems:], used, asked)

        def batch(some: Sequence[Job]) -> list[_Made]:
            found = [make(job) for job in some]
            for made in found:
                for output in made.outputs:
                    _ = output.digest  # worked out here, it goes along
            return found

        if (len(jobs) < LEAST and not long) or worker_pool.hands() == 1:
            yield ((job, make(job)) for job in (*jobs, *long))
            return

        def taken(results: Iterator[tuple[int, list[_Made]]]) -> Iterator[tuple[Job, _Made]]:
            for place, all_made in results:
                for job, made in zip(batches[place], all_made, strict=True):
                    renderer.pages += made.pages
                    renderer.problems += made.problems
                    self._used |= made.used
                    yield job, made

        short = [jobs[start : start + BATCH] for start in range(0, len(jobs), BATCH)]
        batches = [*short, *([job] for job in long)]
        with worker_pool.at_work(batch, batches, range(len(short), len(batches))) as results:
            yield taken(results)
