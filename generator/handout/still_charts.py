"""Charts and diagrams for stills: the drawing of the page without its frame, and its words apart.

A chart with more bars than large type leaves room for is drawn again with fewer levels, always with the first and the
last.

* StillDrawing   a chart or diagram with its words
* draw_chart     a chart as a drawing
* draw_diagram   a diagram as a drawing
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from generator.charts import diagrams, embed
from generator.charts.definition import ChartDefinition
from generator.charts.drawing import theme
from generator.charts.drawing.lines import pick_evenly
from generator.charts.drawing.svg_elements import Diagram
from generator.charts.kinds.range_by_level import BEYOND
from generator.charts.rows import ChartRow, System
from generator.figures.table.figures_table import FiguresTable

CUT_SIGN = "►"
"""Sign of a bar that is cut, in place of one that the stills' typeface lacks."""
_ROOT = re.compile(r'<svg[^>]*? width="([\d.]+)" height="([\d.]+)"[^>]*>')


@dataclass(frozen=True)
class StillDrawing:
    """A chart or diagram for a still, with its words."""

    key: str
    """Its part of a file's name."""
    title: str
    finding: str
    note: str
    svg: str
    """Shapes of the SVG, without its root element."""
    width: float
    height: float
    """Size of the drawing. [px]"""


def draw_chart(
    table: FiguresTable,
    name: str,
    slug: str,
    system: System,
    convert: embed.VegaDrawing,
    tallest: float = 0.0,
) -> StillDrawing | None:
    """A chart as a drawing; None if it has no rows. `tallest` is the most height that it may have, 0 for any. [px]"""
    definition = embed.find_definition(name)
    rows = definition.rows(table, slug, system)
    if not rows:
        return None
    drawn = embed.draw_layout(definition.layout(rows, system), convert)
    levels = list(dict.fromkeys(row["level"] for row in rows if "level" in row))
    note = definition.note(rows, system)
    fewer = len(levels)
    while tallest and _read_size(drawn)[1] > tallest and fewer > 1 and "slot" in rows[0]:
        fewer -= 1
        kept = _select_levels(rows, pick_evenly(levels, fewer) if fewer > 1 else levels[-1:])
        drawn = embed.draw_layout(definition.layout(kept, system), convert)
        note = f"Shown are {fewer} of {len(levels)} levels. {definition.note(kept, system)}"
    return _build_drawing(
        f"chart-{name}-{slug}", definition, definition.finding(rows, system), note, drawn
    )


def _select_levels(rows: Sequence[ChartRow], levels: Sequence[Any]) -> list[ChartRow]:
    """The rows of some levels, renumbered."""
    return [{**row, "place": levels.index(row["level"])} for row in rows if row["level"] in levels]


def draw_diagram(table: FiguresTable, name: str, slug: str, system: System) -> StillDrawing | None:
    """A diagram of a bike, or of the typical machine, as a drawing; None if there are no rows."""
    module, curve = diagrams.DIAGRAMS[name]
    rows = table.curve(slug, curve)
    if not rows:
        return None
    drawn: Diagram = import_module(f"generator.charts.diagrams.{module}").draw_diagram(rows, system)
    key = "-".join(filter(None, ("diagram", name, slug)))
    shapes = "".join(map(str, drawn.shapes))
    return StillDrawing(
        key, drawn.title, drawn.finding, drawn.note, shapes, float(drawn.width), float(drawn.height)
    )


def _build_drawing(
    key: str, definition: ChartDefinition, finding: str, note: str, drawn: str
) -> StillDrawing:
    width, height = _read_size(drawn)
    shapes = _ROOT.sub("", drawn, count=1).removesuffix("</svg>")
    key = key.replace(".", "-").replace("_", "-").lower()
    shapes, note = (words.replace(BEYOND, CUT_SIGN) for words in (shapes, note))
    return StillDrawing(key, definition.title, finding, note, shapes, width, height)


def _read_size(drawn: str) -> tuple[float, float]:
    root = _ROOT.match(drawn)
    return (float(root[1]), float(root[2])) if root else (float(theme.WIDTH), 250.0)
