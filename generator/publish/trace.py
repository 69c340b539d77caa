"""`trace`: explains figures, as data for scripts or as text for people.

* trace_figures      figures of one bike, each with its derivation
* build_record       a figure as JSON-ready data
* format_derivation  a figure as a written derivation
* format_list        all figures of a bike, one line each
"""

import math
import textwrap
from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path
from typing import Any, NamedTuple

from generator.content.read import read_content
from generator.figures.model import Figure, UsedInput, Working
from generator.figures.show import format_figure, format_interval
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.tabulate import tabulate
from generator.publish.reading import errors_of
from generator.specs.problems import Mistyped, Problem, ProblemsFound
from generator.specs.read import read_bike

WIDTH = 88
_LABEL = 12
LEAST_SHARE = 0.005
"""Least share of the spread from which the text form gives an input's basis and source. [-]"""


class TracedFigure(NamedTuple):
    """A figure and its derivation."""

    figure: Figure
    working: Working


def trace_figures(root: Path, slug: str, figure_id: str | None = None) -> list[TracedFigure]:
    """Compute the figures of one bike, or the one named by `figure_id`, each with its derivation.

    Only this bike is read and computed.

    Raises
    ------
    Mistyped
        When there is no such bike or figure, with the nearest names.
    ProblemsFound
        When a file is wrong, or the figure cannot be worked out for this bike.
    """
    slug = Path(slug).stem if slug.endswith(".yaml") else slug
    path = root / "bikes" / f"{slug}.yaml"
    if not (root / "bikes").is_dir():
        raise ProblemsFound(
            [
                Problem(
                    "bikes", 0, 0, "there is no folder `bikes` here, so this is no publication",
                    "Go to the folder of your copy, or name it with --root",
                )
            ]
        )  # fmt: skip
    known = sorted(found.stem for found in (root / "bikes").glob("*.yaml"))
    if slug not in known:
        raise Mistyped([_report_unknown("bike", slug, known)])
    table = _tabulate_bike(root, path)
    figures = table.figures_of(slug)
    if figure_id is None:
        return [TracedFigure(each, table.working(each)) for each in figures.values()]
    if figure_id in figures:
        return [TracedFigure(figures[figure_id], table.working(figures[figure_id]))]
    file = f"bikes/{slug}.yaml"
    if figure_id in table.kinds:
        what = f"`{figure_id}` cannot be worked out for this bike"
        lacking = ", ".join(table.missing.get(slug, {}).get(figure_id, ()))
        mend = (
            f"It needs: {lacking}"
            if lacking
            else "Its file does not state it, or it does not apply to such a bike"
        )
        raise ProblemsFound([Problem(file, 0, 0, what, mend)])
    raise Mistyped([_report_unknown("figure", figure_id, list(figures))])


def _tabulate_bike(root: Path, path: Path) -> FiguresTable:
    """The figures of the bike in one spec file. Raises ProblemsFound."""
    bike, problems = read_bike(path, root)
    content, more = read_content(root)
    problems = [*problems, *more]
    if bike is None or content is None or errors_of(problems):
        raise ProblemsFound(problems)
    return tabulate([bike], content)


def _report_unknown(what: str, name: str, known: list[str]) -> Problem:
    near = get_close_matches(name, known, n=3, cutoff=0.4)
    if near:
        mend = "Did you mean " + " or ".join(f"`{other}`" for other in near)
    else:
        mend = "There are: " + ", ".join(known[:8]) + (" …" if len(known) > 8 else "")
    return Problem("trace", 0, 0, f"there is no {what} `{name}`", mend)


def build_record(traced: TracedFigure) -> dict[str, Any]:
    """A figure as JSON-ready data, values in SI. An infinite value becomes None."""
    figure, working = traced
    return {
        "bike": figure.bike,
        "figure": figure.id,
        "title": figure.kind.title,
        "value": _finite_or_none(figure.value),
        "unit": figure.kind.unit.si,
        "low": _finite_or_none(figure.low),
        "high": _finite_or_none(figure.high),
        "basis": figure.basis,
        "inputs": [_input_record(*weighed) for weighed in working.inputs],
        "formula": figure.kind.formula,
        "words": figure.kind.words,
        "steps": list(working.steps),
        "source": figure.kind.source,
        "conditions": figure.conditions or figure.kind.conditions,
        "sentence": figure.sentence,
        "note": figure.note,
    }


def _input_record(item: UsedInput, share: float) -> dict[str, Any]:
    """An input as JSON-ready data, with its share of the spread. [-]"""
    return {
        "id": item.id,
        "title": item.title,
        "value": _finite_or_none(item.value),
        "unit": item.unit,
        "low": _finite_or_none(item.low),
        "high": _finite_or_none(item.high),
        "basis": item.basis,
        "text": item.text,
        "source": item.source,
        "share": _finite_or_none(share),
    }


def _finite_or_none(value: float) -> float | None:
    """The value, or None if it is infinite or not a number: JSON has neither."""
    return float(value) if math.isfinite(value) else None


def format_derivation(traced: TracedFigure) -> str:
    """The derivation of one figure, as a person would write it down."""
    figure, working = traced
    lines = [
        f"{figure.kind.title}: {_format_both_systems(figure)}",
        f"{figure.bike}, {figure.id}",
        "",
    ]
    lines += _format_entry("Meaning", figure.sentence)
    lines += _format_entry("Basis", figure.basis)
    lines += _format_entry("How", figure.kind.words)
    lines += _format_entry("Formula", figure.kind.formula)
    lines += _format_entry("In numbers", *working.steps)
    detailed = [each for each in working.inputs if each.share >= LEAST_SHARE] or list(
        working.inputs
    )
    brief = [
        f"{item.title} {item.text}"
        for item, share in working.inputs
        if (item, share) not in detailed
    ]
    lines += _format_entry("Inputs", *(_format_input(*each) for each in detailed))
    lines += _format_entry("Also used", "; ".join(brief))
    lines += _format_entry("Holds for", figure.conditions or figure.kind.conditions)
    lines += _format_entry("Method", figure.kind.source)
    lines += _format_entry("Note", figure.note)
    return "\n".join(lines)


def _format_both_systems(figure: Figure) -> str:
    """The value in both unit systems, each with its interval."""
    shown = []
    for system in ("metric", "us"):
        span = format_interval(figure, system)
        shown.append(format_figure(figure, system) + (f", likely {span}" if span else ""))
    return shown[0] if shown[0] == shown[1] else f"{shown[0]} ({shown[1]})"


def _format_input(item: UsedInput, share: float) -> str:
    """Such as `Battery energy: 504 Wh (claimed, Maker's spec sheet; 40% of the spread)`."""
    part = f"; {share:.0%} of the spread" if share >= LEAST_SHARE else ""
    source = f", {item.source}" if item.source else ""
    return f"{item.title}: {item.text} ({item.basis}{source}{part})"


def _format_entry(label: str, *paragraphs: str) -> Iterator[str]:
    """A labelled block, wrapped, with its text in the second column; nothing if there is no text."""
    first = label.ljust(_LABEL)
    for paragraph in filter(None, paragraphs):
        yield textwrap.fill(
            paragraph,
            WIDTH,
            initial_indent=first,
            subsequent_indent=" " * (_LABEL + 2),
            break_on_hyphens=False,
        )
        first = " " * _LABEL


def format_list(traced: list[TracedFigure]) -> str:
    """All figures of a bike, one line each."""
    figures = [each.figure for each in traced]
    width = max((len(figure.id) for figure in figures), default=0)
    return "\n".join(
        f"{figure.id.ljust(width)}  {_format_both_systems(figure)}  [{figure.basis}]"
        for figure in figures
    )
