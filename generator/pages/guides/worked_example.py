"""A worked number for a glossary term: a figure, or an input, of one bike with its steps.

The bike is the one that the term names, where it has the figure. Else it is the one in the middle of those whose figure
follows from the sheet alone, not moved by rides of ours, so that the steps lead to it; by value and then by name, the
lower of two.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.content.model import Term
from generator.figures.inputs import INPUTS
from generator.figures.inputs.levels import KINDS as LEVEL_INPUTS
from generator.figures.model import Figure, Input, Kind
from generator.pages.bike.sections import STATED
from generator.pages.frame import numbers, urls
from generator.pages.frame.renderer import Renderer


@dataclass(frozen=True)
class Worked:
    title: str
    bike: str
    href: str
    """Of the bike's page."""
    number: Markup
    sentence: str
    formula: str
    steps: tuple[str, ...]
    unridden: str
    """What it would be without rides of ours; empty where none have moved it."""
    chosen: str
    """Why this bike."""
    conditions: str
    source: str
    """Of an input."""
    whole: str
    """Link to the whole working on the bike's page; empty for an input."""


def worked(renderer: Renderer, term: Term, path: str) -> Worked | None:
    """The first figure of a term that some bike has, else its first input, worked out; None where it has neither."""
    for id in term.figures:
        figures = list(renderer.table.column(id).values())
        chosen = middle(figures, term.bike)
        if chosen is not None:
            return _of_figure(renderer, chosen, path, _why(chosen, figures, term.bike))
    for id in term.inputs:
        found = dict(renderer.table.users(id))
        figures = [as_figure(slug, given) for slug, given in found.items()]
        chosen = middle(figures, term.bike)
        if chosen is not None:
            given = found[chosen.bike]
            return _of_input(renderer, chosen, given, path, _why(chosen, figures, term.bike))
    return None


def middle(figures: Sequence[Figure], wanted: str) -> Figure | None:
    """The figure of the wanted bike, else the one in the middle; None of none."""
    own = [figure for figure in figures if figure.bike == wanted]
    ranked = own or sorted(_unmoved(figures), key=lambda one: (one.value, one.bike))
    return ranked[(len(ranked) - 1) // 2] if ranked else None


def _unmoved(figures: Sequence[Figure]) -> Sequence[Figure]:
    """Those that no rides of ours have moved; all, where they have moved all."""
    return [figure for figure in figures if figure.before_rides is None] or figures


def _why(chosen: Figure, figures: Sequence[Figure], wanted: str) -> str:
    if chosen.bike == wanted:
        return "Chosen as the example of this term."
    ranked = _unmoved(figures)
    if len(ranked) == 1:
        return "It is the only bike with this number."
    if len({figure.value for figure in ranked}) == 1:
        return f"It is the same for {len(ranked)} bikes."
    return f"It is the one in the middle of {len(ranked)} bikes whose number follows from the sheet alone."


def explains(renderer: Renderer, term: Term, path: str) -> list[tuple[str, str]]:
    """Title and method link of each figure that a term explains and this publication has."""
    kinds = [renderer.table.kinds[id] for id in term.figures if id in renderer.table.kinds]
    return [(kind.title, urls.link(path, numbers.explained_at(kind.id))) for kind in kinds]


def as_figure(slug: str, given: Input) -> Figure:
    """An input in the shape of a figure, so that it is shown like one."""
    unit = (INPUTS.get(given.id) or LEVEL_INPUTS[given.id]).unit
    kind = Kind(given.id, given.id.split(".")[0], given.title, given.title, unit, "", "", "", "")
    basis = "estimated" if given.basis == "assumed" else given.basis
    return Figure(slug, kind, given.value, given.low, given.high, basis, "")


def _of_figure(renderer: Renderer, figure: Figure, path: str, why: str) -> Worked:
    stated = figure.kind.formula == STATED
    before = figure.unridden
    return Worked(
        title=figure.kind.title,
        bike=_name(renderer, figure.bike),
        href=urls.link(path, urls.bike(figure.bike)),
        number=renderer.number(figure, path, interval=True),
        sentence=figure.sentence,
        formula="" if stated else figure.kind.formula,
        steps=renderer.table.working(figure).steps,
        unridden=numbers.figure_text(before, first=renderer.system) if before else "",
        chosen=why,
        conditions=figure.conditions,
        source=f"{figure.basis.capitalize()} by the maker or the seller." if stated else "",
        whole="" if stated else urls.link(path, _anchor(figure)),
    )


def _of_input(renderer: Renderer, figure: Figure, given: Input, path: str, why: str) -> Worked:
    number = numbers.value_html(figure, first=renderer.system)
    likely = numbers.likely_html(figure, first=renderer.system)
    return Worked(
        title=given.title,
        bike=_name(renderer, figure.bike),
        href=urls.link(path, urls.bike(figure.bike)),
        number=Markup("{}, {}").format(number, likely) if likely else number,
        sentence="",
        formula="",
        steps=(),
        unridden="",
        chosen=why,
        conditions="",
        source=f"{given.basis.capitalize()}: {'; '.join(filter(None, (given.text, given.source)))}.",
        whole="",
    )


def _name(renderer: Renderer, slug: str) -> str:
    bike = renderer.table.bike(slug)
    return bike.full_name if bike else slug


def _anchor(figure: Figure) -> str:
    return f"{urls.bike(figure.bike)}#{numbers.anchor(figure.id)}"
