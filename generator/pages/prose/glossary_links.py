"""Which glossary term explains which figure, and problems in the figures, inputs and bike that a term names.

A term lists its figures in its front matter. A figure's term is the one that lists it earliest; a member of a family
(`range.rolling.level_2`) shares the term of a listed member.
"""

import re
from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from typing import TYPE_CHECKING

from generator.content.model import Term
from generator.figures.inputs import INPUTS
from generator.figures.inputs.levels import LEVEL_INPUTS as LEVEL_INPUTS
from generator.figures.registry import REGISTRY
from generator.specs.problems import Problem, Severity

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

_MEMBER = re.compile(r"_\d+$")


def find_figure_terms(terms: Sequence[Term]) -> dict[str, Term]:
    """Term by figure id, for the ids that terms list."""
    found: dict[str, tuple[int, str, Term]] = {}
    for term in terms:
        for place, id in enumerate(term.figures):
            rank = (place, term.slug, term)
            if id not in found or rank[:2] < found[id][:2]:
                found[id] = rank
    return {id: term for id, (_, _, term) in found.items()}


def find_term(kind_id: str, named: dict[str, Term]) -> Term | None:
    """The term of a figure: by its id, by the id of a sibling with another number, or by the beginning of its id."""
    parts = kind_id.split(".")
    while len(parts) > 1:
        id = ".".join(parts)
        if id in named:
            return named[id]
        family = _MEMBER.sub("_", id)
        if family != id:
            for other, term in named.items():
                if _MEMBER.sub("_", other) == family:
                    return term
        parts.pop()
    return None


def check_term(term: Term, table: "FiguresTable") -> Iterator[Problem]:
    """A problem for each missing figure, input or bike that a term's front matter names.

    An id that no publication could have is an error. An id that this publication lacks, such as one with the name of
    another route, is a warning; the term is shown without it.
    """
    lines = dict(term.lines)

    def make_problem(name: str, what: str, mend: str, *, sure: bool) -> Problem:
        severity: Severity = "error" if sure else "warning"
        return Problem(term.file, lines.get(name, 1), 0, what, mend, severity)

    for id in term.figures:
        if id not in table.kinds:
            mend = _suggest_name(id, [*table.kinds] or [one.id for one in REGISTRY.definitions])
            what = f"figures: there is no figure {id!r}"
            yield make_problem(id, what, mend, sure=not _is_possible_id(id))
    for id in term.inputs:
        if id not in INPUTS and id not in LEVEL_INPUTS:
            what = f"inputs: no figure has an input {id!r}"
            yield make_problem(id, what, _suggest_name(id, [*INPUTS, *LEVEL_INPUTS]), sure=True)
    if term.bike and table.bike(term.bike) is None:
        slugs = [bike.slug for bike in table.bikes]
        what = f"bike: there is no bike {term.bike!r}; another is taken"
        yield make_problem(term.bike, what, _suggest_name(term.bike, slugs), sure=False)


def _is_possible_id(id: str) -> bool:
    """Whether some publication could have the figure: its id fits a family with one for every route, rider or level."""
    for definition in REGISTRY.definitions:
        pattern = re.sub(r"\\\{\w+\\\}", "[a-z0-9_-]+", re.escape(definition.id))
        if re.fullmatch(pattern, id):
            return True
    return False


def _suggest_name(name: str, known: Sequence[str]) -> str:
    close = get_close_matches(name, known, n=1, cutoff=0.5)
    return f"Did you mean {close[0]!r}" if close else "See the method page for those that exist"
