"""What a build has beside the publication itself: what earlier builds kept for it, and where it keeps things for later ones."""

from collections.abc import Callable, Iterator
from pathlib import Path

from generator.figures.table.figures_table import FiguresTable
from generator.pages.frame.output import Output, Standing
from generator.publish.cache.bike_memo import Pieces
from generator.publish.cache.chart_cache import ChartCache
from generator.publish.cache.inputs import Inputs
from generator.publish.cache.manifest import Ledger
from generator.publish.cache.spec_cache import Recalled
from generator.publish.cache.store import Store
from generator.publish.cache.template_cache import TemplatesKept
from generator.publish.reading import Publication
from generator.specs.problems import Problem


class Workshop:
    """That of a publication; `given` are hashes of what its site depends on."""

    def __init__(self, root: Path, given: Inputs | None) -> None:
        self._given = given
        self.store = Store.of(root, "worked")
        self.recalled = Recalled(self.store, given)
        self._charts = ChartCache.of(root)
        self._templates = TemplatesKept(self.store, given)

    def files(
        self,
        publication: Publication,
        table: FiguresTable,
        ledger: Ledger,
        warn: Callable[[Problem], None],
    ) -> Iterator[Output | Standing]:
        """Every file of the site; what stands by the ledger is not made again."""
        yield from self._charts.site(
            table,
            publication.content,
            publication.root,
            warn,
            ledger,
            Pieces(self.store.beside("pieces"), self._given),
            self._templates,
        )

    def close(self) -> None:
        """Keep what is new, and delete what this build did not ask for."""
        self._charts.forget_unused()
        self._templates.keep()
        self.store.forget_others()
