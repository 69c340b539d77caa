"""The small publication's whole site, rendered."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from selectolax.lexbor import LexborHTMLParser

from generator.charts.vega.chart import VegaChart
from generator.content.model import Content
from generator.figures.table.figures_table import FiguresTable
from generator.pages.frame.drawings import Drawings
from generator.pages.frame.jobs import Job, run_job
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.pages.site import render_site
from tests.pages import site_example as example

Site = dict[str, bytes]


class QuickCharts(Drawings):
    """Stands for the slow conversion of charts."""

    def chart(self, chart: VegaChart) -> str:
        return f'<svg width="328" height="{len(chart.build_spec()["datasets"])}"></svg>'


def built(
    content: Content = example.CONTENT,
    root: Path = Path("nowhere"),
    table: FiguresTable | None = None,
) -> Site:
    """Every file of the site of the small publication, or of one like it, by its path."""
    return files_of(Renderer(table or example.table(), content, root, QuickCharts()))


def files_of(renderer: Renderer) -> Site:
    """Every file of the site that a renderer renders, by its path."""
    return {out.path: out.data for out in render_site(renderer) if isinstance(out, Output)}


def outputs_of(renderer: Renderer, jobs: Iterable[Job]) -> Iterator[Output]:
    """What some jobs make."""
    for job in jobs:
        for output in run_job(renderer, job).outputs:
            assert isinstance(output, Output)
            yield output


def words(tree: LexborHTMLParser) -> str:
    assert tree.body
    return " ".join(tree.body.text(separator=" ").split())
