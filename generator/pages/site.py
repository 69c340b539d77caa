"""The whole site, file by file: figures and texts in, pages out."""

from collections.abc import Callable, Iterator
from pathlib import Path

from generator.charts import library, svg
from generator.content.model import Content
from generator.figures.table import FiguresTable
from generator.pages import (
    assets,
    bike,
    changes,
    chart_data,
    choose,
    claims,
    compare,
    contribute,
    feed,
    home,
    learn,
    legal,
    link_pictures,
    lists,
    machine,
    policy,
    prices,
    reference,
    report_card,
    running_lists,
    search,
    your_ride,
)
from generator.pages.crew import Crew, alone
from generator.pages.output import Output
from generator.pages.pairs import Pairs
from generator.pages.press import Press
from generator.specs.problems import Problem, ProblemsFound

__all__ = ["Output", "outputs"]


def outputs(
    table: FiguresTable,
    content: Content,
    root: Path,
    *,
    convert: svg.Convert = svg.convert,
    chart_library: Callable[[], str] = library.source,
    draw: link_pictures.Draw = link_pictures.drawn,
    warn: Callable[[Problem], None] = lambda problem: None,
    crew: Crew = alone,
) -> Iterator[Output]:
    """Every file of the site, in an order that never changes.

    `root` is the publication; its own templates go before ours. `convert` turns a chart's specification into SVG
    and `chart_library` gives the script that draws charts in the browser; `draw` draws a link picture. All may be
    cached ones. `warn` is told at the end of every warning about a text. `crew` makes the pages of bikes and pairs, by
    several processes if it likes: before any other page, so that no chart has been drawn in this one.

    Raises
    ------
    ProblemsFound
        After the last file, with every error in the texts of the publication.
    """
    press = Press(table, content, root, convert)
    pairs = Pairs(table.bikes)
    yield from bike.outputs(press, pairs, crew)
    yield from compare.outputs(press, pairs, crew)
    yield from link_pictures.outputs(press, draw, crew)
    yield from _pages(press, pairs)
    yield from search.data(press)
    yield from feed.outputs(press)
    yield from machine.outputs(press)
    yield from policy.outputs()
    yield from assets.outputs(root)
    yield from chart_data.outputs(press, chart_library)
    yield from your_ride.outputs(press)
    for problem in sorted(set(press.problems)):
        if problem.severity == "warning":
            warn(problem)
    errors = sorted({problem for problem in press.problems if problem.severity == "error"})
    if errors:
        raise ProblemsFound(errors)


def _pages(press: Press, pairs: Pairs) -> Iterator[Output]:
    yield from home.outputs(press, pairs)
    yield from lists.outputs(press, pairs)
    yield from choose.outputs(press)
    yield from prices.outputs(press)
    yield from claims.outputs(press)
    yield from learn.outputs(press)
    yield from legal.outputs(press)
    yield from report_card.outputs(press)
    yield from running_lists.outputs(press)
    yield from changes.outputs(press)
    yield from contribute.outputs(press)
    yield from reference.outputs(press)
    yield from search.outputs(press)
