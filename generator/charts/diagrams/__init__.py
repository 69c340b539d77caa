"""Diagrams for beginners of how the motor answers the pedals, drawn by our own code from the model.

* NAMES        names of the diagrams in guides
* figure_for   a diagram of a bike or of the typical machine, as a `<figure>`

Each is plain SVG of rows from the table's curves; nothing is computed here but coordinates.
"""

from collections.abc import Sequence
from importlib import import_module

from markupsafe import Markup

from generator.charts import embed
from generator.charts.drawing.svg_elements import Diagram
from generator.charts.rows import System
from generator.figures.simulation import typical
from generator.figures.table.figures_table import FiguresTable

DIAGRAMS = {
    "crank-turn": ("crank_turn", "pedalling.crank_turn"),
    "take-up": ("take_up", "pedalling.take_up"),
    "run-on": ("run_on", "pedalling.run_on"),
    "levels": ("level_powers", "pedalling.levels"),
}
"""Module and curve by a diagram's name."""

NAMES = tuple(DIAGRAMS)


class NoSuchDiagramError(KeyError):
    """No diagram has the name."""


def figure_for(
    table: FiguresTable, slug: str, name: str, *, system: System = "metric", heading: str = ""
) -> Markup:
    """A `<figure>` with the picture, a finding, how to read it and the numbers; empty if there are no rows.

    An empty `slug` stands for the typical machine. `heading` stands before the title, such as a bike's name on a page
    that is not the bike's own.

    Raises
    ------
    NoSuchDiagramError
    """
    if name not in DIAGRAMS:
        raise NoSuchDiagramError(name)
    module, curve = DIAGRAMS[name]
    rows = table.curve(slug, curve)
    if not rows:
        return Markup("")
    drawn: Diagram = import_module(f"generator.charts.diagrams.{module}").draw_diagram(rows, system)
    key = "-".join(filter(None, ("diagram", name, slug)))
    title = f"{heading}: {drawn.title}" if heading else drawn.title
    note = drawn.note if slug else f"{drawn.note} Shown is {typical.WORDS}."
    return Markup(
        '<figure class="chart diagram" id="{key}"><div class="chart__plate">{picture}</div>'
        '<figcaption><div class="chart__words"><strong>{title}</strong> '
        '<span class="chart__finding">{finding}</span> <span class="chart__note">{note}</span></div>'
        '<details class="chart__data"><summary>The numbers drawn</summary>{numbers}</details>'
        "</figcaption></figure>"
    ).format(
        key=key,
        picture=_wrap_svg(drawn, key, title),
        title=title,
        finding=drawn.finding,
        note=note,
        numbers=embed.render_data_table(title, *_table_cells(drawn)),
    )


def _table_cells(drawn: Diagram) -> tuple[list[str], list[list[str]]]:
    return list(drawn.head), [list(line) for line in drawn.body]


def _wrap_svg(drawn: Diagram, key: str, title: str) -> Markup:
    """The whole SVG, with a name and a description for screen readers."""
    return Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{key}-name" '
        'aria-describedby="{key}-about" width="{width}" height="{height}" viewBox="0 0 {width} {height}">'
        '<title id="{key}-name">{title}</title><desc id="{key}-about">{finding}</desc>{shapes}</svg>'
    ).format(
        key=key,
        width=drawn.width,
        height=drawn.height,
        title=title,
        finding=drawn.finding,
        shapes=_join_shapes(drawn.shapes),
    )


def _join_shapes(shapes: Sequence[Markup]) -> Markup:
    return Markup("").join(shapes)
