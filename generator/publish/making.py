"""From a publication that was read to a site in its folder: everything of a build that takes time."""

from collections.abc import Callable, Mapping
from pathlib import Path

from generator.figures.tabulate import tabulate
from generator.pages.output import Output
from generator.publish.chart_cache import ChartCache
from generator.publish.crew import shared
from generator.publish.reading import Publication
from generator.publish.staging import write_site
from generator.publish.summary import Summary, page_changes

Progress = Callable[[float, str], None]
"""Told of the share of the work that is done, 0 to 1, and what is at work now."""

READ, _COMPUTED = 0.05, 0.35
"""Shares of the work done after reading and after computing, roughly, on the demo."""


def made(publication: Publication, out: Path, before: Mapping[str, str], tell: Progress) -> Summary:
    """Compute, render, and swap the site in; `seconds` of the summary is left at 0.

    `before` is the site that stands in `out`, path to hash, which is held for this build.

    Raises
    ------
    ProblemsFound
        When anything stands in the way. The earlier site is then as it was.
    """
    tell(READ, "computing")
    table = tabulate(publication.bikes, publication.content, shared)
    tell(_COMPUTED, "writing pages")
    counter = _Counter(expected=len(before) or 100, tell=tell)
    charts = ChartCache.of(publication.root)
    told = list(publication.warnings)
    files = charts.site(table, publication.content, publication.root, told.append)
    now = write_site(files, out, counter.count)
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

    def count(self, output: Output) -> None:
        self._files += 1
        self.bytes += len(output.data)
        if output.path.endswith(".html"):
            self.charts += output.data.count(b'<figure class="chart"')
        done = min(1.0, self._files / self._expected)
        self._tell(_COMPUTED + (1 - _COMPUTED) * done, output.path)
