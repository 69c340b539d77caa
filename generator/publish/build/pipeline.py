"""From a publication to a site in its folder: everything of a build that takes time."""

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from functools import cache
from pathlib import Path

from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import unsearched
from generator.pages.frame.output import Output, Standing
from generator.publish.build.output_tree import spare_of
from generator.publish.build.staging import write_site
from generator.publish.build.summary import Changes, Summary, page_changes
from generator.publish.build.unchanged import remember
from generator.publish.cache.build_context import Workshop
from generator.publish.cache.figure_cache import worked_out
from generator.publish.cache.inputs import Inputs
from generator.publish.cache.manifest import SiteLedger
from generator.publish.reading import Publication, read_publication
from generator.specs.problems import Problem

Claim = AbstractContextManager[Mapping[str, str]]
"""What holds `out` for this build, and gives the site that stands there: path to hash."""

Progress = Callable[[float, str], None]
"""Told of the share of the work that is done, 0 to 1, and what is at work now."""

READ, COMPUTED = 0.05, 0.35
"""Shares of the work done after reading and after computing, roughly, on the demo."""


def made(root: Path, out: Path, given: Inputs | None, claim: Claim, tell: Progress) -> Summary:
    """Read, compute, render, and swap the site in; `seconds` of the summary is left at 0.

    `given` are hashes of what the site depends on: what an earlier build made from the same is not made again. `claim` is
    entered once everything has been read, so that a publication with errors leaves no trace.

    Raises
    ------
    ProblemsFound
        When anything stands in the way. The earlier site is then as it was.
    """
    workshop = Workshop(root, given)
    with unsearched() as settle:
        publication = read_publication(root, workshop.recalled)
        with claim as before:
            spare = spare_of(root, out)
            ledger = cache(lambda: SiteLedger(workshop.store.beside("pages"), out, given))

            def meanwhile() -> None:
                ledger()
                _ = spare and spare.survey

            table = worked_out(
                publication,
                workshop.recalled,
                lambda share: tell(READ + (COMPUTED - READ) * share, "computing"),
                meanwhile,
            )
            settle()
            tell(COMPUTED, "writing pages")
            counter = _Counter(expected=len(before) or 100, tell=tell)
            told = list(publication.warnings)
            files = workshop.files(publication, table, ledger(), told.append)
            written = write_site(files, out, counter.count, spare)
            changes = page_changes(before, written.hashes)
            summary = _summary(publication, table, out, counter, changes, tuple(sorted(told)))
            remember(root, out, given, summary, written.states)
            ledger().close(written.states)
            workshop.close()
    return summary


def _summary(
    publication: Publication,
    table: FiguresTable,
    out: Path,
    counter: "_Counter",
    changes: Changes,
    warnings: tuple[Problem, ...],
) -> Summary:
    return Summary(
        out=str(out),
        bikes=len(publication.bikes),
        guides=len(publication.content.guides),
        terms=len(publication.content.terms),
        pages=counter.pages,
        figures=sum(len(table.of(bike.slug)) for bike in publication.bikes),
        charts=counter.charts,
        bytes=counter.bytes,
        changes=changes,
        warnings=warnings,
    )


class _Counter:
    """Counts outputs as they are written, and tells of them."""

    def __init__(self, expected: int, tell: Progress) -> None:
        self.charts = self.pages = self.bytes = self._files = 0
        self._expected, self._tell = expected, tell

    def count(self, output: Output | Standing) -> None:
        self._files += 1
        self.pages += output.path.endswith(".html")
        self.bytes += output.size
        self.charts += output.charts
        done = min(1.0, self._files / self._expected)
        self._tell(COMPUTED + (1 - COMPUTED) * done, output.path)
