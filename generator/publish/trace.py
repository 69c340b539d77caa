"""One figure explained: as data for scripts, as text for people."""

import math
import textwrap
from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path
from typing import Any, NamedTuple

from generator.content.read import read_content
from generator.figures.model import Figure, Input, Working
from generator.figures.show import interval, text
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.tabulate import tabulate
from generator.publish.reading import errors_of
from generator.specs.problems import Problem, ProblemsFound
from generator.specs.read import read_bike

WIDTH = 88
_LABEL = 12
TOLD = 0.005
"""Least share of the spread for which an input is told with its basis and source in the text form. [-]"""


class Traced(NamedTuple):
    figure: Figure
    working: Working


def figures_of(root: Path, slug: str, figure_id: str | None = None) -> list[Traced]:
    """The figures of one bike, or the one that is named, each with its working.

    Only this bike is read and computed.

    Raises
    ------
    ProblemsFound
        When there is no such bike or figure, with the nearest name; or when a file is wrong.
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
        raise ProblemsFound([_unknown(f"bikes/{slug}.yaml", "bike", slug, known)])
    table = _table(root, path)
    figures = table.of(slug)
    if figure_id is None:
        return [Traced(each, table.working(each)) for each in figures.values()]
    if figure_id in figures:
        return [Traced(figures[figure_id], table.working(figures[figure_id]))]
    file = f"bikes/{slug}.yaml"
    if figure_id in table.missing.get(slug, {}):
        what = f"`{figure_id}` cannot be worked out for this bike"
        lacking = ", ".join(table.missing[slug][figure_id])
        mend = f"It needs: {lacking}" if lacking else "It does not apply to such a bike"
        raise ProblemsFound([Problem(file, 0, 0, what, mend)])
    raise ProblemsFound([_unknown(file, "figure", figure_id, list(figures))])


def _table(root: Path, path: Path) -> FiguresTable:
    bike, problems = read_bike(path, root)
    content, more = read_content(root)
    problems = [*problems, *more]
    if bike is None or content is None or errors_of(problems):
        raise ProblemsFound(problems)
    return tabulate([bike], content)


def _unknown(file: str, what: str, name: str, known: list[str]) -> Problem:
    near = get_close_matches(name, known, n=3, cutoff=0.4)
    if near:
        mend = "Did you mean " + " or ".join(f"`{other}`" for other in near)
    else:
        mend = "There are: " + ", ".join(known[:8]) + (" …" if len(known) > 8 else "")
    return Problem(file, 0, 0, f"there is no {what} `{name}`", mend)


def as_record(traced: Traced) -> dict[str, Any]:
    """A figure as JSON-ready data, values in SI. An infinite value becomes None."""
    figure, working = traced
    return {
        "bike": figure.bike,
        "figure": figure.id,
        "title": figure.kind.title,
        "value": _finite(figure.value),
        "unit": figure.kind.unit.si,
        "low": _finite(figure.low),
        "high": _finite(figure.high),
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


def _input_record(item: Input, share: float) -> dict[str, Any]:
    return {
        "id": item.id,
        "title": item.title,
        "value": _finite(item.value),
        "unit": item.unit,
        "low": _finite(item.low),
        "high": _finite(item.high),
        "basis": item.basis,
        "text": item.text,
        "source": item.source,
        "share": _finite(share),
    }


def _finite(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def as_text(traced: Traced) -> str:
    """The derivation of one figure, as a person would write it down."""
    figure, working = traced
    lines = [f"{figure.kind.title}: {_both(figure)}", f"{figure.bike}, {figure.id}", ""]
    lines += _entry("Meaning", figure.sentence)
    lines += _entry("Basis", figure.basis)
    lines += _entry("How", figure.kind.words)
    lines += _entry("Formula", figure.kind.formula)
    lines += _entry("In numbers", *working.steps)
    told = [each for each in working.inputs if each.share >= TOLD] or list(working.inputs)
    quiet = [
        f"{item.title} {item.text}" for item, share in working.inputs if (item, share) not in told
    ]
    lines += _entry("Inputs", *(_input_line(*each) for each in told))
    lines += _entry("Also used", "; ".join(quiet))
    lines += _entry("Holds for", figure.conditions or figure.kind.conditions)
    lines += _entry("Method", figure.kind.source)
    lines += _entry("Note", figure.note)
    return "\n".join(lines)


def _both(figure: Figure) -> str:
    """The value in both unit systems, each with its interval."""
    shown = []
    for system in ("metric", "us"):
        span = interval(figure, system)
        shown.append(text(figure, system) + (f", likely {span}" if span else ""))
    return shown[0] if shown[0] == shown[1] else f"{shown[0]} ({shown[1]})"


def _input_line(item: Input, share: float) -> str:
    part = f"; {share:.0%} of the spread" if share >= TOLD else ""
    source = f", {item.source}" if item.source else ""
    return f"{item.title}: {item.text} ({item.basis}{source}{part})"


def _entry(label: str, *paragraphs: str) -> Iterator[str]:
    """A labelled block, wrapped, with its text in the second column."""
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


def as_list(traced: list[Traced]) -> str:
    """All figures of a bike, one line each."""
    figures = [each.figure for each in traced]
    width = max((len(figure.id) for figure in figures), default=0)
    return "\n".join(
        f"{figure.id.ljust(width)}  {_both(figure)}  [{figure.basis}]" for figure in figures
    )
