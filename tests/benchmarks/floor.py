"""How far a build is from what it cannot do without, and where the rest goes.

Run as `python -m tests.benchmarks.floor [bikes]`; without a number, for the demo. All in one process and in seconds of
the processor, nothing kept from before. The floor is what is left when every figure and every word is known already: the
same templates rendered from ready values, the same pictures drawn, the same bytes written and hashed.
"""

import hashlib
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from jinja2 import Template

from generator.charts import embed
from generator.charts.vega import library
from generator.charts.vega.chart import VegaChart
from generator.figures.table.tabulate import tabulate
from generator.pages import site
from generator.pages.frame import renderer
from generator.pages.frame.output import Output
from generator.pages.pictures import link_pictures
from generator.publish.reading import read_publication
from tests.benchmarks.publication import write


class Kept:
    """What a build was given on the way, so that it can be given again."""

    def __init__(self) -> None:
        self.rendered: list[tuple[str, dict[str, Any]]] = []
        self.charts: list[VegaChart] = []
        self.cards: list[link_pictures.Card] = []

    def convert(self, chart: VegaChart) -> str:
        self.charts.append(chart)
        return embed.convert(chart)

    def draw(self, card: link_pictures.Card) -> bytes:
        self.cards.append(card)
        return link_pictures.drawn(card)

    def environment(self, root: Path, bytecode: Any = None) -> Any:
        made, rendered = _environment(root, bytecode), self.rendered

        class Noting(Template):
            def render(self, **values: Any) -> str:
                rendered.append((self.name or "", values))
                return super().render(**values)

        made.template_class = Noting
        return made


_environment = renderer.environment


def timed(what: str, work: Callable[[], Any], spent: dict[str, float]) -> Any:
    began = time.process_time()
    made = work()
    spent[what] = spent.get(what, 0.0) + time.process_time() - began
    return made


def written(outputs: list[Output], folder: Path) -> None:
    for output in outputs:
        path = folder / output.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(output.data)
        hashlib.sha256(output.data).hexdigest()


def main(root: Path, folder: Path) -> None:
    kept, whole, floor = Kept(), dict[str, float](), dict[str, float]()
    renderer.environment = kept.environment
    publication = timed("reading and checking", lambda: read_publication(root), whole)
    content = publication.content
    table = timed(
        "figures and tables of own rides",
        lambda: tabulate(publication.bikes, content, pages=True),
        whole,
    )
    made = timed(
        "pages",
        lambda: list(site.outputs(table, content, root, convert=kept.convert, draw=kept.draw)),
        whole,
    )
    timed("writing", lambda: written(made, folder / "whole"), whole)
    renderer.environment = _environment

    ready = _environment(root)
    timed(
        "templates",
        lambda: [ready.get_template(name).render(**values) for name, values in kept.rendered],
        floor,
    )
    timed("charts by Vega", lambda: list(map(embed.convert, kept.charts)), floor)
    timed("link pictures", lambda: list(map(link_pictures.drawn, kept.cards)), floor)
    library.source.cache_clear()
    timed("chart library", library.source, floor)
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
