"""Charts and diagrams as they stand in a still: the same drawing, larger, with its words apart.

A chart with more bars than large type leaves room for is drawn again with fewer levels, the first and the last among
them.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from generator.charts import diagrams, embed
from generator.charts.definition import Plate
from generator.charts.drawing import theme
from generator.charts.drawing.lines import picked
from generator.charts.drawing.svg_elements import Diagram
from generator.charts.kinds.range_by_level import BEYOND
from generator.charts.rows import Row, System
from generator.figures.table.figures_table import FiguresTable

IN_OUR_FACE = "►"
"""In place of the mark of a bar that is cut, which the face of the stills lacks."""
_ROOT = re.compile(r'<svg[^>]*? width="([\d.]+)" height="([\d.]+)"[^>]*>')


@dataclass(frozen=True)
class Drawing:
    key: str
    """Part of a file's name."""
    title: str
    finding: str
    note: str
    svg: str
    """Shapes without their frame."""
    width: float
    height: float
    """[px]"""


def chart(
    table: FiguresTable,
    name: str,
    slug: str,
    system: System,
    convert: embed.Convert,
    tallest: float = 0.0,
) -> Drawing | None:
    """A chart; None when there is nothing to draw. `tallest` is the height that it may have [px], 0 for any."""
    plate = embed.plate(name)
    rows = plate.rows(table, slug, system)
    if not rows:
        return None
    drawn = embed.drawn(plate.layout(rows, system), convert)
    levels = list(dict.fromkeys(row["level"] for row in rows if "level" in row))
    note = plate.note(rows, system)
    fewer = len(levels)
    while tallest and _size(drawn)[1] > tallest and fewer > 1 and "slot" in rows[0]:
        fewer -= 1
        kept = _some(rows, picked(levels, fewer) if fewer > 1 else levels[-1:])
        drawn = embed.drawn(plate.layout(kept, system), convert)
        note = f"Shown are {fewer} of {len(levels)} levels. {plate.note(kept, system)}"
    return _drawing(f"chart-{name}-{slug}", plate, plate.finding(rows, system), note, drawn)


def _some(rows: Sequence[Row], levels: Sequence[Any]) -> list[Row]:
    """The rows of some levels, their places counted anew."""
    return [{**row, "place": levels.index(row["level"])} for row in rows if row["level"] in levels]


def diagram(table: FiguresTable, name: str, slug: str, system: System) -> Drawing | None:
    """A diagram of a bike, or of the typical machine; None when there is nothing to draw."""
    module, curve = diagrams.DIAGRAMS[name]
    rows = table.curve(slug, curve)
    if not rows:
        return None
    drawn: Diagram = import_module(f"generator.charts.diagrams.{module}").drawn(rows, system)
    key = "-".join(filter(None, ("diagram", name, slug)))
    shapes = "".join(map(str, drawn.shapes))
    return Drawing(
        key, drawn.title, drawn.finding, drawn.note, shapes, float(drawn.width), float(drawn.height)
    )


def _drawing(key: str, plate: Plate, finding: str, note: str, drawn: str) -> Drawing:
    width, height = _size(drawn)
    shapes = _ROOT.sub("", drawn, count=1).removesuffix("</svg>")
    key = key.replace(".", "-").replace("_", "-").lower()
    shapes, note = (words.replace(BEYOND, IN_OUR_FACE) for words in (shapes, note))
    return Drawing(key, plate.title, finding, note, shapes, width, height)


def _size(drawn: str) -> tuple[float, float]:
    root = _ROOT.match(drawn)
    return (float(root[1]), float(root[2])) if root else (float(theme.WIDTH), 250.0)
