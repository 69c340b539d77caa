"""Jobs: the units of work of a build, each for one page or a few pages that belong together.

* Job            a function with plain arguments that makes some files
* JobResult      the files that a job made, and its queries
* run_job        runs a job and records its queries
* run_here       runs jobs one by one in this process
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from generator.pages.frame.output import Output, PageSummary, UnchangedFile
from generator.pages.frame.recorder import Query
from generator.specs.encoding import fingerprint
from generator.specs.problems import Problem

if TYPE_CHECKING:
    from generator.pages.frame.renderer import Renderer


@dataclass(frozen=True)
class Job:
    """A function that makes files. They depend on its arguments and on its queries to table and content, on nothing else."""

    make: Callable[..., Iterable[Output]]
    """A function at the top of a module, called with a renderer and the arguments."""
    args: tuple[Any, ...] = ()
    """Plain values that `repr` distinguishes: slugs, words, numbers, dataclasses of these."""
    long: bool = False
    """Whether it takes more than a moment, and so should start early."""

    @cached_property
    def key(self) -> str:
        """Fingerprint of the function's name and the arguments."""
        return fingerprint(f"{self.make.__module__}.{self.make.__qualname__}", self.args)


@dataclass(frozen=True)
class JobResult:
    """What a job made. It is pickled between processes of one build, and never stored in that form."""

    outputs: tuple[Output | UnchangedFile, ...]
    pages: tuple[PageSummary, ...]
    problems: tuple[Problem, ...]
    queries: tuple[Query, ...] = ()
    """Queries of the job, sorted."""
    answers: str | None = None
    """Fingerprint of the answers; None where it is not known."""


RunJobs = Callable[[Sequence[Job]], Iterable[JobResult]]
"""Runs jobs and yields their results as they come; it may start before the first result is requested."""


def run_job(renderer: "Renderer", job: Job) -> JobResult:
    """Run a job with a renderer that records its queries."""
    recorded, recorder = renderer.record()
    outputs = tuple(job.make(recorded, *job.args))
    return JobResult(
        outputs,
        tuple(recorded.pages),
        tuple(recorded.problems),
        recorder.queries,
        recorder.source.fingerprint_all(recorder.queries),
    )


def run_here(renderer: "Renderer") -> RunJobs:
    """Return a function that runs jobs in this process, each when its result is requested."""

    def run(jobs: Sequence[Job]) -> Iterator[JobResult]:
        return (run_job(renderer, job) for job in jobs)

    return run
