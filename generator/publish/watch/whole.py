"""The site as the process that builds has it: what was sent of it so far, and what is new since.

* Site        kept warm between two saves
* Built       what is different from what was sent before
* Overtaken   raised when a file was saved meanwhile
"""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

from generator.content.model import Content
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import pause_gc
from generator.pages.frame.output import Output, UnchangedFile
from generator.pages.frame.renderer import compile_templates, make_environment
from generator.pages.site import render_site
from generator.publish.build.job_runner import JobRunner
from generator.publish.build.manifest import JobRecord
from generator.publish.build.paths import Claimed
from generator.publish.build.pipeline import base_of, make_renderer, read_with_cache
from generator.publish.build.table import build_table
from generator.publish.build.worker_pool import worker_pool
from generator.publish.cache.cache import Cache
from generator.publish.cache.inputs import read_inputs
from generator.publish.watch.quick import Quick
from generator.specs.problems import Problem, ProblemsFound


class Overtaken(Exception):  # noqa: N818 - named for what happened, which is no error
    """A file was saved meanwhile, so what was begun is of no use."""


class Built(NamedTuple):
    """A whole site, beside what was sent before."""

    changed: dict[str, bytes]
    """By path: new files, and those that are not what they were."""
    gone: tuple[str, ...]
    warnings: tuple[Problem, ...]


class Site:
    def __init__(self, root: Path) -> None:
        self._root = root
        self._sent: dict[str, str] = {}
        """Path to hash of every file as it was sent last."""
        self._ready: dict[str, Output] = {}
        """Files of builds that were overtaken, not sent."""
        self._records: dict[str, JobRecord] = {}
        """Of the jobs of the last good build, and of those that were begun since."""
        self._base = ""
        """What all of these jobs depended on."""
        self._built: tuple[FiguresTable, Content] | None = None
        """Of the last good build, until `prepare` has seen to it."""
        self._quick: Quick | None = None

    def whole(self, overtaken: Callable[[], bool]) -> Built:
        """Read, compute and render everything that was not made from the same before.

        `overtaken` is asked between steps and files.

        Raises
        ------
        ProblemsFound
            When anything stands in the way.
        Overtaken
            When it was overtaken.
        """

        def go_on() -> None:
            if overtaken():
                raise Overtaken

        with pause_gc():
            return self._whole(go_on)

    def _whole(self, go_on: Callable[[], None]) -> Built:
        inputs = read_inputs(self._root)
        cache = Cache.of_user() if inputs else Cache(None)
        publication = read_with_cache(self._root, cache, inputs)
        go_on()
        program = inputs.program if inputs else ""
        environment = make_environment(self._root)
        table = build_table(
            publication,
            cache,
            program,
            lambda share: go_on(),
            lambda: compile_templates(environment),
        )
        go_on()
        base = base_of(inputs) if inputs else ""
        if base != self._base or not base:
            self._records, self._base = {}, base
        renderer = make_renderer(publication, table, cache, inputs, environment)
        claimed, problems = Claimed(), []
        now: dict[str, str] = {}
        warnings = list(publication.warnings)
        with worker_pool() as pool:
            runner = JobRunner(renderer, pool, self._records, self._is_at_hand)
            try:
                for output in render_site(renderer, runner, warnings.append):
                    if problem := claimed.refused(output.path):
                        problems.append(problem)
                    now[output.path] = output.digest
                    if isinstance(output, Output):
                        self._ready[output.path] = output
                    go_on()
            finally:
                self._records = {**self._records, **runner.records}
        if problems:
            raise ProblemsFound(problems)
        cache.prune()
        changed = {
            path: self._ready[path].data
            for path, digest in now.items()
            if self._sent.get(path) != digest
        }
        gone = tuple(sorted(self._sent.keys() - now.keys()))
        self._sent, self._records, self._ready = now, runner.records, {}
        self._built = table, publication.content
        return Built(changed, gone, tuple(sorted(warnings)))

    def prepare(self) -> None:
        """Get ready for `ahead`: best once the whole site has been sent, when nobody waits."""
        if self._built:
            self._quick = Quick(*self._built, self._root)
            self._built = None

    def ahead(self, files: Sequence[Path]) -> dict[str, bytes]:
        """Return the pages of bikes whose files were just saved, after a first whole site; see `quick`.

        Raises
        ------
        ProblemsFound
            With the errors of the files.
        """
        self.prepare()
        assert self._quick
        pages = self._quick.pages(files)
        self._sent.update({page.path: page.digest for page in pages})
        return {page.path: page.data for page in pages}

    def _is_at_hand(self, file: UnchangedFile) -> bool:
        """Whether a file was sent as it is, or is ready to be."""
        if self._sent.get(file.path) == file.digest:
            return True
        ready = self._ready.get(file.path)
        return ready is not None and ready.digest == file.digest
