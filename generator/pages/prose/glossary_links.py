"""Which glossary term explains which figure, and what is wrong with what a term says of figures.

A term names its figures in its front matter. A figure's term is the one that names it earliest in its list; a member of
a family (`range.rolling.level_2`) goes with what is named of the family.
"""

import re
from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from typing import TYPE_CHECKING

from generator.content.model import Term
from generator.figures.inputs import INPUTS
from generator.figures.inputs.levels import KINDS as LEVEL_INPUTS
from generator.figures.registry import REGISTRY
from generator.specs.problems import Problem, Severity

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

_MEMBER = re.compile(r"_\d+$")


def explained(terms: Sequence[Term]) -> dict[str, Term]:
    """From a figure's id, as terms name it, to its term."""
    found: dict[str, tuple[int, str, Term]] = {}
    for term in terms:
        for place, id in enumerate(term.figures):
            rank = (place, term.slug, term)
            if id not in found or rank[:2] < found[id][:2]:
                found[id] = rank
    return {id: term for id, (_, _, term) in found.items()}


def term_of(kind_id: str, named: dict[str, Term]) -> Term | None:
    """The term of a figure: by its own id, by that of a sibling of another number, or by what its id begins with."""
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


def faults(term: Term, table: "FiguresTable") -> Iterator[Problem]:
    """A problem for each figure, input or bike that a term's front matter names and that is not there.

    An id that no publication could have is an error. One that this publication lacks, such as that of a route with
    another name, is a warning: the term then stands without it.
    """
    lines = dict(term.lines)

    def problem(name: str, what: str, mend: str, *, sure: bool) -> Problem:
        severity: Severity = "error" if sure else "warning"
        return Problem(term.file, lines.get(name, 1), 0, what, mend, severity)

    for id in term.figures:
        if id not in table.kinds:
            mend = _nearest(id, [*table.kinds] or [one.id for one in REGISTRY.definitions])
            what = f"figures: there is no figure {id!r}"
            yield problem(id, what, mend, sure=not _possible(id))
    for id in term.inputs:
        if id not in INPUTS and id not in LEVEL_INPUTS:
            what = f"inputs: no figure has an input {id!r}"
            yield problem(id, what, _nearest(id, [*INPUTS, *LEVEL_INPUTS]), sure=True)
    if term.bike and table.bike(term.bike) is None:
        slugs = [bike.slug for bike in table.bikes]
        what = f"bike: there is no bike {term.bike!r}; another is taken"
        yield problem(term.bike, what, _nearest(term.bike, slugs), sure=False)


def _possible(id: str) -> bool:
    """Could some publication have it: is it one of a family that has a figure for every route, rider or level?"""
    for definition in REGISTRY.definitions:
        pattern = re.sub(r"\\\{\w+\\\}", "[a-z0-9_-]+", re.escape(definition.id))
        if re.fullmatch(pattern, id):
            return True
    return False


def _nearest(name: str, known: Sequence[str]) -> str:
    close = get_close_matches(name, known, n=1, cutoff=0.5)
    return f"Did you mean {close[0]!r}" if close else "See the method page for those that exist"
