"""The site as the process that builds has it: what was told of it so far, and what is new since.

* Site        kept warm between two saves
* Built       what is different from what was told before
* Overtaken   raised when a file was saved meanwhile
"""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from generator.content.model import Content
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import unsearched
from generator.pages.frame.output import Output, Standing
from generator.publish.build.paths import Claimed
from generator.publish.cache.build_context import Workshop
from generator.publish.cache.figure_cache import worked_out
from generator.publish.cache.inputs import Inputs, inputs
from generator.publish.cache.manifest import Entries, Ledger
from generator.publish.reading import read_publication
from generator.publish.watch.quick import Quick
from generator.specs.problems import Problem, ProblemsFound


class Overtaken(Exception):  # noqa: N818 - named for what happened, which is no error
    """A file was saved meanwhile, so what was begun is of no use."""


class Built(NamedTuple):
    """A whole site, beside what was told before."""

    changed: dict[str, bytes]
    """By path: new files, and those that are not what they were."""
    gone: tuple[str, ...]
    warnings: tuple[Problem, ...]


class Site:
    def __init__(self, root: Path) -> None:
        self._root = root
        self._told: dict[str, str] = {}
        """Path to hash of every file as it was told last."""
        self._ready: dict[str, Output] = {}
        """Files of builds that were overtaken, not told."""
        self._made: Entries = {}
        """What jobs made and from what, of the last good build and of those that were begun since."""
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

        with unsearched() as settle:
            return self._whole(go_on, settle)

    def _whole(self, go_on: Callable[[], None], settle: Callable[[], None]) -> Built:
        given = inputs(self._root)
        workshop = Workshop(self._root, given)
        publication = read_publication(self._root, workshop.recalled)
        go_on()
        table = worked_out(publication, workshop.recalled, lambda share: go_on())
        settle()
        go_on()
        ledger = _Told(given, self._made, self._told, self._ready)
        claimed, problems = Claimed(), []
        now: dict[str, str] = {}
        told = list(publication.warnings)
        try:
            for output in workshop.files(publication, table, ledger, told.append):
                if problem := claimed.refused(output.path):
                    problems.append(problem)
                now[output.path] = output.digest
                if isinstance(output, Output):
                    self._ready[output.path] = output
                go_on()
        finally:
            self._made = {**self._made, **ledger.now}
        if problems:
            raise ProblemsFound(problems)
        workshop.close()
        changed = {
            path: self._ready[path].data
            for path, digest in now.items()
            if self._told.get(path) != digest
        }
        gone = tuple(sorted(self._told.keys() - now.keys()))
        self._told, self._made, self._ready = now, ledger.now, {}
        self._built = table, publication.content
        return Built(changed, gone, tuple(sorted(told)))

    def prepare(self) -> None:
        """Get ready for `ahead`: best once the whole site is told of, when nobody waits."""
        if self._built:
            self._quick = Quick(*self._built, self._root)
            self._built = None

    def ahead(self, files: Sequence[Path]) -> dict[str, bytes]:
        """The pages of bikes whose files were just saved, after a first whole site; see `quick`.

        Raises
        ------
        ProblemsFound
            With the errors of the files.
        """
        self.prepare()
        assert self._quick
        pages = self._quick.pages(files)
        self._told.update({page.path: page.digest for page in pages})
        return {page.path: page.data for page in pages}


class _Told(Ledger):
    """A file stands where it was told, or is ready to be."""

    def __init__(
        self,
        given: Inputs | None,
        before: Entries,
        told: Mapping[str, str],
        ready: Mapping[str, Output],
    ) -> None:
        super().__init__(given, before)
        self._told, self._ready = told, ready

    def _stands(self, file: Standing) -> bool:
        if self._told.get(file.path) == file.digest:
            return True
        ready = self._ready.get(file.path)
        return ready is not None and ready.digest == file.digest
