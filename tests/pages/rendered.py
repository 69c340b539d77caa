"""The small publication's whole site, printed."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from selectolax.lexbor import LexborHTMLParser

from generator.charts.vega.chart import VegaChart
from generator.content.model import Content
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.site import outputs
from tests.pages import site_example as example

Site = dict[str, bytes]


def picture(chart: VegaChart) -> str:
    """Stands for the slow conversion."""
    return f'<svg width="328" height="{len(chart.spec()["datasets"])}"></svg>'


def built(content: Content = example.CONTENT, root: Path = Path("nowhere")) -> Site:
    return {out.path: out.data for out in outputs(example.table(), content, root, convert=picture)}


def outputs_of(jobs: Iterable[Job]) -> Iterator[Output]:
    """What some jobs make."""
    for job in jobs:
        yield from job.make()


def words(tree: LexborHTMLParser) -> str:
    assert tree.body
    return " ".join(tree.body.text(separator=" ").split())
