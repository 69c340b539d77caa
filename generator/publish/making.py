"""From a publication to a site in its folder: everything of a build that takes time."""

from collections.abc import Callable, Mapping
from pathlib import Path

from generator.figures.parts import unsearched
from generator.figures.table import FiguresTable
from generator.pages.output import Output, Standing
from generator.publish.chart_cache import ChartCache
from generator.publish.ground import spare_of
from generator.publish.inputs import Inputs
from generator.publish.ledger import SiteLedger
from generator.publish.pieces import Pieces
from generator.publish.reading import Publication, read_publication
from generator.publish.recalled import Recalled
from generator.publish.staging import claimed_folder, write_site
from generator.publish.store import Store
from generator.publish.summary import Summary, page_changes
from generator.publish.unchanged import remember
from generator.publish.worked_out import worked_out

Progress = Callable[[float, str], None]
"""Told of the share of the work that is done, 0 to 1, and what is at work now."""

READ, COMPUTED = 0.05, 0.35
"""Shares of the work done after reading and after computing, roughly, on the demo."""


def made(root: Path, out: Path, given: Inputs | None, tell: Progress) -> Summary:
    """Read, compute, render, and swap the site in; `seconds` of the summary is left at 0.

    `given` are hashes of what the site depends on: what an earlier build made from the same is not made again.

    Raises
    ------
    ProblemsFound
        When anything stands in the way. The earlier site is then as it was.
    """
    store = Store.of(root, "worked")
    recalled = Recalled(store, given)
    with unsearched():
        publication = read_publication(root, recalled)
    with claimed_folder(out) as before:
        with unsearched():
            table = worked_out(
                publication,
                recalled,
                lambda share: tell(READ + (COMPUTED - READ) * share, "computing"),
            )
            ledger = SiteLedger(store.beside("pages"), out, given)
        pieces = Pieces(store.beside("pieces"), given)
        summary = _printed(publication, table, out, before, ledger, pieces, tell)
        ledger.close(remember(root, out, given, summary))
        store.forget_others()
    return summary


def _printed(
    publication: Publication,
    table: FiguresTable,
    out: Path,
    before: Mapping[str, str],
    ledger: SiteLedger,
    pieces: Pieces,
    tell: Progress,
) -> Summary:
    """The pages, in place of the site that stood in `out`: path to hash."""
    tell(COMPUTED, "writing pages")
    counter = _Counter(expected=len(before) or 100, tell=tell)
    charts = ChartCache.of(publication.root)
    told = list(publication.warnings)
    files = charts.site(table, publication.content, publication.root, told.append, ledger, pieces)
    now = write_site(files, out, counter.count, spare_of(publication.root, out))
    charts.forget_unused()
    return Summary(
        out=str(out),
        bikes=len(publication.bikes),
        guides=len(publication.content.guides),
        terms=len(publication.content.terms),
        pages=sum(path.endswith(".html") for path in now),
        figures=sum(len(table.of(bike.slug)) for bike in publication.bikes),
        charts=counter.charts,
        bytes=counter.bytes,
        changes=page_changes(before, now),
        warnings=tuple(sorted(told)),
    )


class _Counter:
    """Counts outputs as they are written, and tells of them."""

    def __init__(self, expected: int, tell: Progress) -> None:
        self.charts = self.bytes = self._files = 0
        self._expected, self._tell = expected, tell

    def count(self, output: Output | Standing) -> None:
        self._files += 1
        self.bytes += output.size
        self.charts += output.charts
        done = min(1.0, self._files / self._expected)
        self._tell(COMPUTED + (1 - COMPUTED) * done, output.path)
