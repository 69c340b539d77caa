"""The whole site, file by file: figures and texts in, pages out."""

from collections.abc import Iterator
from pathlib import Path

from generator.charts import svg
from generator.content.model import Content
from generator.figures.table import FiguresTable
from generator.pages import (
    assets,
    bike,
    claims,
    compare,
    learn,
    legal,
    lists,
    machine,
    places,
    reference,
    report_card,
)
from generator.pages.output import Output
from generator.pages.pairs import Pairs
from generator.pages.press import Press
from generator.specs.problems import ProblemsFound

__all__ = ["Output", "outputs"]


def outputs(
    table: FiguresTable, content: Content, root: Path, *, convert: svg.Convert = svg.convert
) -> Iterator[Output]:
    """Every file of the site, in an order that never changes.

    `root` is the publication; its own templates go before ours. `convert` turns a chart's specification into SVG
    and may be a cached one.

    Raises
    ------
    ProblemsFound
        After the last file, with every error in the texts of the publication.
    """
    press = Press(table, content, root, convert)
    pairs = Pairs(table.bikes)
    addresses = []
    for output in _pages(press, pairs):
        if output.path.endswith(".html") and output.path != places.NOT_FOUND:
            addresses.append(press.address(output.path))
        yield output
    yield from machine.outputs(press.settings.address, addresses)
    yield from assets.outputs(root)
    errors = [problem for problem in press.problems if problem.severity == "error"]
    if errors:
        raise ProblemsFound(errors)


def _pages(press: Press, pairs: Pairs) -> Iterator[Output]:
    yield from lists.outputs(press, pairs)
    yield from bike.outputs(press, pairs)
    yield from compare.outputs(press, pairs)
    yield from claims.outputs(press)
    yield from learn.outputs(press)
    yield from legal.outputs(press)
    yield from report_card.outputs(press)
    yield from reference.outputs(press)
