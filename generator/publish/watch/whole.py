"""The whole site, in memory: what `build` would write, file by file."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from generator.content.model import Content
from generator.figures.parts import unsearched
from generator.figures.table import FiguresTable
from generator.pages.output import Output
from generator.publish.chart_cache import ChartCache
from generator.publish.inputs import inputs
from generator.publish.ledger import Entries, Ledger
from generator.publish.paths import Claimed
from generator.publish.pieces import Pieces
from generator.publish.reading import read_publication
from generator.publish.recalled import Recalled
from generator.publish.store import Store
from generator.publish.worked_out import worked_out
from generator.specs.problems import Problem, ProblemsFound


class Overtaken(Exception):  # noqa: N818 - named for what happened, which is no error
    """A file was saved meanwhile, so what was begun is of no use."""


@dataclass(frozen=True)
class Whole:
    table: FiguresTable
    content: Content
    files: dict[str, bytes]
    warnings: tuple[Problem, ...]
    made: Entries
    """What each job made and from what, for the next time."""


def whole(root: Path, overtaken: Callable[[], bool], before: Entries | None = None) -> Whole:
    """Read, compute and render everything that the jobs of `before` have not made from the same.

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

    given = inputs(root)
    store = Store.of(root, "worked")
    recalled = Recalled(store, given)
    with unsearched():
        publication = read_publication(root, recalled)
        go_on()
        table = worked_out(publication, recalled, lambda share: go_on())
    go_on()
    ledger = Ledger(given, before or {})
    pieces = Pieces(store.beside("pieces"), given)
    charts = ChartCache.of(root)
    claimed, problems = Claimed(), []
    files: dict[str, bytes] = {}
    told = list(publication.warnings)
    for output in charts.site(table, publication.content, root, told.append, ledger, pieces):
        go_on()
        assert isinstance(output, Output)  # this ledger keeps bytes
        if problem := claimed.refused(output.path):
            problems.append(problem)
        files[output.path] = output.data
    if problems:
        raise ProblemsFound(problems)
    charts.forget_unused()
    store.forget_others()
    return Whole(table, publication.content, files, tuple(sorted(told)), ledger.now)
