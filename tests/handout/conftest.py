"""The demo with all its figures, once for all tests of handouts."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.tabulate import tabulate
from generator.handout.subject import HandoutSubject, build_subject, read_request
from generator.pages.compare.pairs import BikePairs
from generator.pages.frame.renderer import Renderer
from generator.publish.reading import Publication, read_publication
from tests.project import ROOT


@dataclass(frozen=True)
class Demo:
    publication: Publication
    table: FiguresTable

    def renderer(self, **settings: object) -> Renderer:
        """A renderer whose publication has some settings changed."""
        content = self.publication.content
        changed = replace(content, settings=replace(content.settings, **settings))
        return Renderer(self.table, changed, ROOT)

    def subject(self, renderer: Renderer, *words: str) -> HandoutSubject:
        bikes = [bike.slug for bike in self.table.bikes]
        asked, problems = read_request(
            words, bikes, [guide.slug for guide in renderer.content.guides]
        )
        assert asked is not None, problems
        return build_subject(renderer, asked, BikePairs(self.table.bikes))


@pytest.fixture(scope="session")
def demo() -> Demo:
    publication = read_publication(ROOT)
    return Demo(publication, tabulate(publication.bikes, publication.content))


@pytest.fixture(scope="session")
def of_demo(demo: Demo) -> Callable[..., HandoutSubject]:
    """From words to a subject of the demo as it stands."""
    renderer = demo.renderer()
    return lambda *words: demo.subject(renderer, *words)
