"""Charts drawn by an earlier build, so that only changed ones are drawn again; likewise link pictures,
and the chart library for browsers.

Drawing is slow, its input is small and its output depends on nothing else: so a chart is kept under the hash of its
form and values, of the program that draws and of our code around it.
"""

import hashlib
from collections.abc import Callable, Iterator
from contextlib import suppress
from importlib.metadata import version
from pathlib import Path

from jinja2 import BytecodeCache

from generator.charts import embed
from generator.charts.drawing import draw_svg, minify
from generator.charts.vega import library
from generator.charts.vega.chart import VegaChart
from generator.content.model import Content
from generator.figures.table.figures_table import FiguresTable
from generator.pages.frame.memo import Keeper, made_anew
from generator.pages.frame.output import Output, Standing
from generator.pages.pictures import link_pictures
from generator.pages.site import outputs
from generator.publish.cache.committed import FOLDER, brought_along
from generator.publish.cache.forked import Forked
from generator.publish.cache.manifest import Ledger
from generator.publish.cache.sealed import keep, kept
from generator.specs.problems import Problem


class ChartCache:
    """Stands in for `svg.convert`. A folder that cannot be written costs time and nothing else."""

    def __init__(
        self, folder: Path, convert: embed.Convert = embed.convert, refused: Problem | None = None
    ) -> None:
        self._folder = folder
        self._refused = refused
        """Why nothing is read or written there."""
        self._convert = convert
        self._used: set[Path] = set()
        code = [Path(str(module.__file__)).read_text("utf-8") for module in (draw_svg, minify)]
        self._drawn_by = "".join([version("vl-convert-python"), *code])

    @classmethod
    def of(cls, root: Path) -> "ChartCache":
        """That of a publication. What came with the repository is not used: it goes into pages as it is."""
        why = brought_along(root, FOLDER)
        what = f"this folder {why}, so nothing in it is used and every chart is drawn again"
        mend = f"Delete it, and take it out of the repository: git rm -r --cached {FOLDER}"
        refused = Problem(FOLDER, 0, 0, what, mend, "warning") if why else None
        return cls(root / FOLDER / "charts", refused=refused)

    def site(
        self,
        table: FiguresTable,
        content: Content,
        root: Path,
        warn: Callable[[Problem], None] = lambda problem: None,
        ledger: Ledger | None = None,
        keeper: Keeper = made_anew,
        bytecode: BytecodeCache | None = None,
    ) -> Iterator[Output | Standing]:
        """Every file of the site, with what is drawn kept here; see `pages.site.outputs`.

        What stands in the site by the `ledger` is not made again; without one, everything is made.
        """
        if self._refused:
            warn(self._refused)
        return outputs(
            table,
            content,
            root,
            convert=self.convert,
            chart_library=self.explorer,
            draw=self.picture,
            warn=warn,
            crew=Forked(self._used, ledger),
            keeper=keeper,
            bytecode=bytecode,
        )

    def convert(self, chart: VegaChart) -> str:
        """The chart as SVG."""
        return self._kept(
            self._drawn_by + chart.key, "svg", lambda: self._convert(chart).encode()
        ).decode()

    def picture(self, card: link_pictures.Card) -> bytes:
        """A link picture as PNG. Its card holds all that it says and shows, colours too."""
        return self._kept(
            link_pictures.drawn_by() + repr(card), "png", lambda: link_pictures.drawn(card)
        )

    def explorer(self) -> str:
        """The script that draws charts in the browser."""
        text = version("vl-convert-python") + Path(library.__file__).read_text("utf-8")
        return self._kept(text, "js", lambda: library.source().encode()).decode()

    def _kept(self, key: str, ending: str, make: Callable[[], bytes]) -> bytes:
        if self._refused:
            return make()
        path = self._folder / f"{hashlib.sha256(key.encode()).hexdigest()}.{ending}"
        self._used.add(path)
        drawn = kept(path, key)
        if drawn is None:
            drawn = make()
            keep(path, key, drawn)
        return drawn

    def forget_unused(self) -> None:
        """Delete what the build that now ends did not ask for."""
        if self._refused:
            return
        for path in self._folder.glob("*"):
            if path not in self._used:
                with suppress(OSError):
                    path.unlink()
