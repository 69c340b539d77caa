"""A worked example for a glossary term: a figure, or an input, of one bike with its steps.

The bike is the one that the term names, if it has the figure. Otherwise it is the median (by value, then name; the
lower of two) of the bikes whose figure follows from the sheet alone, not adjusted by rides, so that the steps lead to
it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.content.model import Term
from generator.figures.inputs import INPUTS
from generator.figures.inputs.levels import LEVEL_INPUTS as LEVEL_INPUTS
from generator.figures.model import Figure, FigureKind, UsedInput
from generator.pages.bike.sections import STATED
from generator.pages.frame import numbers, urls
from generator.pages.frame.renderer import Renderer


@dataclass(frozen=True)
class WorkedExample:
    """A worked example as the page of a term shows it."""

    title: str
    bike: str
    href: str
    """Link to the bike's page."""
    number: Markup
    sentence: str
    formula: str
    steps: tuple[str, ...]
    unridden: str
    """The figure before it was adjusted by rides; empty if none have adjusted it."""
    chosen: str
    """Why this bike was chosen, as a sentence."""
    conditions: str
    source: str
    """Where an input or a stated figure comes from."""
    whole: str
    """Link to the full working on the bike's page; empty for an input or a stated figure."""


def find_example(renderer: Renderer, term: Term, path: str) -> WorkedExample | None:
    """The example for a term's first figure that some bike has, else for its first input; None if it has neither."""
    for id in term.figures:
        figures = list(renderer.table.column(id).values())
        chosen = find_median(figures, term.bike)
        if chosen is not None:
            return _build_figure_example(
                renderer, chosen, path, _explain_choice(chosen, figures, term.bike)
            )
    for id in term.inputs:
        found = dict(renderer.table.users(id))
        figures = [make_figure(slug, given) for slug, given in found.items()]
        chosen = find_median(figures, term.bike)
        if chosen is not None:
            given = found[chosen.bike]
            return _build_input_example(
                renderer, chosen, given, path, _explain_choice(chosen, figures, term.bike)
            )
    return None


def find_median(figures: Sequence[Figure], wanted: str) -> Figure | None:
    """The figure of the wanted bike, else the median one; None if there are none."""
    own = [figure for figure in figures if figure.bike == wanted]
    ranked = own or sorted(_select_unmoved(figures), key=lambda one: (one.value, one.bike))
    return ranked[(len(ranked) - 1) // 2] if ranked else None


def _select_unmoved(figures: Sequence[Figure]) -> Sequence[Figure]:
    """Figures that no rides have adjusted; all figures if every one was adjusted."""
    return [figure for figure in figures if figure.before_rides is None] or figures


def _explain_choice(chosen: Figure, figures: Sequence[Figure], wanted: str) -> str:
    if chosen.bike == wanted:
        return "Chosen as the example of this term."
    ranked = _select_unmoved(figures)
    if len(ranked) == 1:
        return "It is the only bike with this number."
    if len({figure.value for figure in ranked}) == 1:
        return f"It is the same for {len(ranked)} bikes."
    return f"It is the one in the middle of {len(ranked)} bikes whose number follows from the sheet alone."


def list_explained(renderer: Renderer, term: Term, path: str) -> list[tuple[str, str]]:
    """Title and method link of each figure that a term explains and this publication has."""
    kinds = [renderer.table.kinds[id] for id in term.figures if id in renderer.table.kinds]
    return [(kind.title, urls.link(path, numbers.method_entry_path(kind.id))) for kind in kinds]


def make_figure(slug: str, given: UsedInput) -> Figure:
    """An input in the shape of a figure, so that it is shown like one."""
    unit = (INPUTS.get(given.id) or LEVEL_INPUTS[given.id]).unit
    kind = FigureKind(
        given.id, given.id.split(".")[0], given.title, given.title, unit, "", "", "", ""
    )
    basis = "estimated" if given.basis == "assumed" else given.basis
    return Figure(slug, kind, given.value, given.low, given.high, basis, "")


def _build_figure_example(renderer: Renderer, figure: Figure, path: str, why: str) -> WorkedExample:
    stated = figure.kind.formula == STATED
    before = figure.unridden
    return WorkedExample(
        title=figure.kind.title,
        bike=_name_bike(renderer, figure.bike),
        href=urls.link(path, urls.bike(figure.bike)),
        number=renderer.number(figure, path, interval=True),
        sentence=figure.sentence,
        formula="" if stated else figure.kind.formula,
        steps=renderer.table.working(figure).steps,
        unridden=numbers.figure_text(before, first=renderer.system) if before else "",
        chosen=why,
        conditions=figure.conditions,
        source=f"{figure.basis.capitalize()} by the maker or the seller." if stated else "",
        whole="" if stated else urls.link(path, _find_derivation(figure)),
    )


def _build_input_example(
    renderer: Renderer, figure: Figure, given: UsedInput, path: str, why: str
) -> WorkedExample:
    number = numbers.value_html(figure, first=renderer.system)
    likely = numbers.likely_html(figure, first=renderer.system)
    return WorkedExample(
        title=given.title,
        bike=_name_bike(renderer, figure.bike),
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


def _name_bike(renderer: Renderer, slug: str) -> str:
    bike = renderer.table.bike(slug)
    return bike.full_name if bike else slug


def _find_derivation(figure: Figure) -> str:
    return f"{urls.bike(figure.bike)}#{numbers.figure_anchor(figure.id)}"
