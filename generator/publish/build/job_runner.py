"""Does the jobs of a build: those whose files stand are left out, the others go to a pool of processes.

* JobRunner   a `pages.frame.jobs.RunJobs`
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from generator.pages.frame.jobs import Job, JobResult, run_job
from generator.pages.frame.output import Output, UnchangedFile
from generator.pages.frame.renderer import Renderer
from generator.publish.build.manifest import JobRecord
from generator.publish.build.worker_pool import WorkerPool

TOGETHER = 4
"""Short jobs that a process takes at a time."""

_renderer: Renderer | None = None
"""What workers render with: they have it by the fork, so it need not be sent."""


class JobRunner:
    def __init__(
        self,
        renderer: Renderer,
        pool: WorkerPool,
        before: Mapping[str, JobRecord],
        stands: Callable[[UnchangedFile], bool],
    ) -> None:
        """Do jobs with a renderer in a pool that has not been given anything yet.

        `before` are records of an earlier build by the job's key, and `stands` says whether a file is still as it was made.
        """
        global _renderer
        _renderer = renderer
        self._source, self._pool = renderer.source, pool
        self._before, self._stands = before, stands
        self.records: dict[str, JobRecord] = {}
        """Of the jobs that were done or left out so far."""

    def __call__(self, jobs: Sequence[Job]) -> Iterator[JobResult]:
        standing, left = [], []
        for job in jobs:
            if record := self._find_standing(job):
                standing.append(record)
            else:
                left.append(job)
        short = [job for job in left if not job.long]
        batches = [
            *([job] for job in left if job.long),
            *(short[start : start + TOGETHER] for start in range(0, len(short), TOGETHER)),
        ]
        tasks = {self._pool.submit(_run_batch, batch): batch for batch in batches}
        return self._results(standing, tasks)

    def _find_standing(self, job: Job) -> JobRecord | None:
        """Return the record of a job whose files all stand and that would be answered the same."""
        record = self._before.get(job.key)
        if record is None or not all(map(self._stands, record.files)):
            return None
        if self._source.fingerprint_all(record.queries) != record.answers:
            return None
        self.records[job.key] = record
        return record

    def _results(
        self, standing: Iterable[JobRecord], tasks: Mapping[int, list[Job]]
    ) -> Iterator[JobResult]:
        for record in standing:
            yield JobResult(record.files, record.pages, record.problems)
        for number, results in self._pool.results(tasks):
            for job, result in zip(tasks[number], results, strict=True):
                self._note(job, result)
                yield result

    def _note(self, job: Job, result: JobResult) -> None:
        if result.answers is None or any(each.severity == "error" for each in result.problems):
            return
        files = tuple(
            UnchangedFile(each.path, each.digest, each.size, each.charts) for each in result.outputs
        )
        self.records[job.key] = JobRecord(
            files, result.pages, result.problems, result.queries, result.answers
        )


def _run_batch(jobs: Sequence[Job]) -> list[JobResult]:
    assert _renderer is not None
    found = []
    for job in jobs:
        result = run_job(_renderer, job)
        for output in result.outputs:
            if isinstance(output, Output):
                _ = output.digest, output.charts  # worked out here, they come along
        found.append(result)
    return found
