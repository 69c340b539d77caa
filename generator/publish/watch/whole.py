"""The whole site, in memory: what `build` would write, file by file."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from generator.content.model import Content
from generator.figures.table import FiguresTable
from generator.figures.tabulate import tabulate
from generator.publish.chart_cache import ChartCache
from generator.publish.paths import Claimed
from generator.publish.reading import read_publication
from generator.specs.problems import Problem, ProblemsFound


class Overtaken(Exception):  # noqa: N818 - named for what happened, which is no error
    """A file was saved meanwhile, so what was begun is of no use."""


@dataclass(frozen=True)
class Whole:
    table: FiguresTable
    content: Content
    files: dict[str, bytes]
    warnings: tuple[Problem, ...]


def whole(root: Path, overtaken: Callable[[], bool]) -> Whole:
    """Read, compute and render everything.

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

    publication = read_publication(root)
    go_on()
    table = tabulate(publication.bikes, publication.content)
    go_on()
    charts = ChartCache.of(root)
    claimed, problems = Claimed(), []
    files: dict[str, bytes] = {}
    told = list(publication.warnings)
    for output in charts.site(table, publication.content, root, told.append):
        go_on()
        if problem := claimed.refused(output.path):
            problems.append(problem)
        files[output.path] = output.data
    if problems:
        raise ProblemsFound(problems)
    charts.forget_unused()
    return Whole(table, publication.content, files, tuple(sorted(told)))
