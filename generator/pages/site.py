"""The whole site, file by file: figures and texts in, pages out."""

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from jinja2 import BytecodeCache

from generator.charts import embed
from generator.charts.vega import library
from generator.content.model import Content
from generator.figures.table.figures_table import FiguresTable
from generator.pages import home, prices, search
from generator.pages import law as law_page
from generator.pages.bike import page as bike_page
from generator.pages.choose import page as choose_page
from generator.pages.compare import page as compare_page
from generator.pages.compare.pairs import Pairs
from generator.pages.contribute import page as contribute_page
from generator.pages.downloads import chart_data, crawler_files
from generator.pages.feed import changes, site_feed
from generator.pages.frame import assets, policy
from generator.pages.frame.jobs import Crew, Job, alone
from generator.pages.frame.memo import Keeper, made_anew
from generator.pages.frame.output import Output, Standing
from generator.pages.frame.renderer import Renderer
from generator.pages.guides import pages as guide_pages
from generator.pages.lists import bike_lists, running_lists
from generator.pages.pictures import link_pictures
from generator.pages.reference import claims, report_card
from generator.pages.reference import pages as reference_pages
from generator.specs.problems import Problem, ProblemsFound

__all__ = ["Output", "outputs"]


def outputs(
    table: FiguresTable,
    content: Content,
    root: Path,
    *,
    convert: embed.Convert = embed.convert,
    chart_library: Callable[[], str] = library.source,
    draw: link_pictures.Draw = link_pictures.drawn,
    warn: Callable[[Problem], None] = lambda problem: None,
    crew: Crew = alone,
    keeper: Keeper = made_anew,
    bytecode: BytecodeCache | None = None,
) -> Iterator[Output | Standing]:
    """Every file of the site, in the order in which the crew makes them.

    `root` is the publication; its own templates go before ours. `convert` turns a chart's specification into SVG
    and `chart_library` gives the script that draws charts in the browser; `draw` draws a link picture. All may be
    cached ones. `warn` is told at the end of every warning about a text. `crew` makes the pages, by several
    processes if it likes: no chart has been drawn in this one then. `keeper` may keep what is said of each bike, and
    `bytecode` compiled templates.

    Raises
    ------
    ProblemsFound
        After the last file, with every error in the texts of the publication.
    """
    renderer = Renderer(table, content, root, convert, keeper, bytecode)
    renderer.compile()
    pairs = Pairs(table.bikes)
    with crew(renderer, [], list(guide_pages.guides(renderer))) as guides:
        jobs, long = list(_jobs(renderer, pairs, draw)), list(_long(renderer, pairs, chart_library))
        with crew(renderer, jobs, long) as others:
            yield from guides
            with crew(renderer, [], list(guide_pages.glossary(renderer))) as terms:
                yield from terms
            yield from others
    yield from search.data(renderer)
    yield from crawler_files.outputs(renderer)
    yield from policy.outputs()
    yield from assets.outputs(root)
    for problem in sorted(set(renderer.problems)):
        if problem.severity == "warning":
            warn(problem)
    errors = sorted({problem for problem in renderer.problems if problem.severity == "error"})
    if errors:
        raise ProblemsFound(errors)


def _jobs(renderer: Renderer, pairs: Pairs, draw: link_pictures.Draw) -> Iterator[Job]:
    for pages in (
        report_card,
        changes,
        site_feed,
        contribute_page,
        search,
    ):
        yield Job(partial(pages.outputs, renderer))
    yield from running_lists.jobs(renderer)
    yield from claims.jobs(renderer)
    yield from law_page.jobs(renderer)
    yield from prices.jobs(renderer)
    yield from bike_page.jobs(renderer, pairs, draw)
    yield from compare_page.jobs(renderer, pairs)
    yield from link_pictures.jobs(renderer, draw)


def _long(renderer: Renderer, pairs: Pairs, chart_library: Callable[[], str]) -> Iterator[Job]:
    """Those that one process is at for more than a moment, or whose number grows with the catalogue within them."""
    yield from chart_data.jobs(renderer, chart_library)
    yield from choose_page.jobs(renderer)
    yield from bike_lists.jobs(renderer, pairs)
    yield from reference_pages.jobs(renderer)
    yield Job(partial(home.outputs, renderer, pairs))
