"""How far a build is from what it cannot do without, and where the rest goes.

Run as `python -m tests.benchmarks.floor [bikes]`; without a number, for the demo. All in one process and in seconds of
the processor, nothing kept from before. The floor is what is left when every figure and every word is known already: the
same templates rendered from ready values, the same pictures drawn, the same bytes written and hashed.
"""

import hashlib
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from jinja2 import Environment, Template

from generator.charts import embed
from generator.charts.vega import library
from generator.charts.vega.chart import VegaChart
from generator.content.model import Content
from generator.figures.table.assembly import assemble_table
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import group_bikes
from generator.figures.table.tabulate import compute_bikes, list_kinds
from generator.pages.frame.drawings import Drawings
from generator.pages.frame.output import Output, UnchangedFile
from generator.pages.frame.renderer import Renderer, make_environment
from generator.pages.pictures import draw_picture
from generator.pages.site import render_site
from generator.publish.reading import read_publication
from generator.specs.bike import Bike
from tests.benchmarks.publication import write


class Kept(Drawings):
    """What a build was given on the way, so that it can be given again."""

    def __init__(self) -> None:
        self.rendered: list[tuple[str, dict[str, Any]]] = []
        self.charts: list[VegaChart] = []
        self.cards: list[draw_picture.PictureContent] = []

    def chart(self, chart: VegaChart) -> str:
        self.charts.append(chart)
        return super().chart(chart)

    def picture(self, card: draw_picture.PictureContent) -> bytes:
        self.cards.append(card)
        return super().picture(card)

    def environment(self, root: Path) -> Environment:
        made, rendered = make_environment(root), self.rendered

        class Noting(Template):
            def render(self, **values: Any) -> str:
                rendered.append((self.name or "", values))
                return super().render(**values)

        made.template_class = Noting
        return made


def timed(what: str, work: Callable[[], Any], spent: dict[str, float]) -> Any:
    began = time.process_time()
    made = work()
    spent[what] = spent.get(what, 0.0) + time.process_time() - began
    return made


def with_ride_grids(bikes: Sequence[Bike], content: Content) -> FiguresTable:
    """Compute the figures of all bikes with everything that pages need."""
    found = [
        each
        for some in group_bikes(bikes)
        for each in compute_bikes(some, content.model_inputs, for_pages=True)
    ]
    details = {computed.slug: encoded for computed, encoded in found}
    figures = {computed.slug: computed for computed, _ in found}
    return assemble_table(bikes, content, list_kinds(bikes, content), figures, details.__getitem__)


def written(outputs: list[Output | UnchangedFile], folder: Path) -> None:
    for output in outputs:
        assert isinstance(output, Output), "this build takes nothing over"
        path = folder / output.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(output.data)
        hashlib.sha256(output.data).hexdigest()


def main(root: Path, folder: Path) -> None:
    kept, whole, floor = Kept(), dict[str, float](), dict[str, float]()
    publication = timed("reading and checking", lambda: read_publication(root), whole)
    content = publication.content
    table = timed(
        "figures and tables of own rides",
        lambda: with_ride_grids(publication.bikes, content),
        whole,
    )
    renderer = Renderer(table, content, root, kept, environment=kept.environment(root))
    made = timed("pages", lambda: list(render_site(renderer)), whole)
    timed("writing", lambda: written(made, folder / "whole"), whole)

    ready = make_environment(root)
    timed(
        "templates",
        lambda: [ready.get_template(name).render(**values) for name, values in kept.rendered],
        floor,
    )
    timed("charts by Vega", lambda: list(map(embed.draw_with_vega, kept.charts)), floor)
    timed("link pictures", lambda: list(map(draw_picture.draw_picture, kept.cards)), floor)
    library.bundle_library.cache_clear()
    timed("chart library", library.bundle_library, floor)
    timed("writing", lambda: written(made, folder / "floor"), floor)
    say = sys.stdout.write
    for title, parts in (("whole build", whole), ("floor", floor)):
        total = sum(parts.values())
        say(f"{title}: {total:.1f} s for {len(publication.bikes)} bikes, {len(made)} files\n")
        for what, seconds in parts.items():
            say(f"  {seconds:6.2f} s  {100 * seconds / total:3.0f} %  {what}\n")
    say(f"the whole is {sum(whole.values()) / sum(floor.values()):.1f} times the floor\n")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(prefix="guide-floor-") as place:
        publication_root = Path(place) / "publication"
        write(publication_root, int(sys.argv[1]) if len(sys.argv) > 1 else 30)
        main(publication_root, Path(place))
