"""How a figure of one bike was worked out: its inputs with their shares, and the formula with numbers put in."""

import math
import re
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from generator.figures import levels, show
from generator.figures.case import Case, Use
from generator.figures.inputs import INPUTS, Resolved
from generator.figures.model import Figure, Input, Unit
from generator.figures.registry import Definition

PLACEHOLDER = re.compile(r"\{([a-z0-9_.]+)\}")


@dataclass(frozen=True)
class Sketch:
    """What is remembered of a figure's evaluation for all bikes, until the derivations are written."""

    id: str
    definition: Definition
    uses: list[Use]
    factors: list[int]
    """Places of the factors, in the order of `shares`."""
    shares: NDArray[np.float64]
    """Shape (bikes, factors)."""
    rows: NDArray[np.intp] | None
    parts: dict[str, tuple[NDArray[np.float64], Unit]]
    """Intermediate values, nominal in column 0."""


def level_name(case: Case, row: int) -> str:
    """Name of the level of a row, such as `Even`."""
    if row < 0:
        return "—"
    place = case.rows[row]
    return levels.of(case.bikes[place.bike], place.level).name


def _look(case: Case, use: Use, index: int, rows: NDArray[np.intp] | None) -> Resolved | None:
    if use[0] in levels.KINDS:
        if rows is None or rows[index] < 0:
            return None
        return case.resolved_levels(use[0])[rows[index]]
    return case.resolved(use)[index]


def _kind(use: Use) -> tuple[str, Unit]:
    kind = levels.KINDS[use[0]] if use[0] in levels.KINDS else INPUTS[use[0]]
    return kind.title, kind.unit


def missing_titles(
    case: Case, uses: list[Use], index: int, rows: NDArray[np.intp] | None
) -> tuple[str, ...]:
    """Titles of inputs that are NaN for a bike."""
    titles = []
    for use in uses:
        resolved = _look(case, use, index, rows)
        if resolved is not None and math.isnan(resolved.value):
            titles.append(_kind(use)[0])
    return tuple(dict.fromkeys(titles))


def explain(case: Case, sketches: list[Sketch], found: dict[str, dict[str, Figure]]) -> None:
    """Write inputs, steps and sentences into the figures, once all figures of all bikes are there."""
    known: dict[tuple[Use, int], Input | None] = {}
    for sketch in sketches:
        wanted = set(PLACEHOLDER.findall(" ".join(sketch.definition.worked)))
        place = {factor: index for index, factor in enumerate(sketch.factors)}
        for index, bike in enumerate(case.bikes):
            figure = found[bike.slug].get(sketch.id)
            if figure is None:
                continue
            inputs = _inputs(case, sketch, index, place, known)
            texts = {each.id: _input_text(each) for each in inputs if each.id in wanted}
            for name, (values, unit) in sketch.parts.items():
                texts[f"part.{name}"] = show.quantity(float(values[index, 0]), unit.metric)
            before = figure
            if figure.before_rides:
                before = replace(figure, value=figure.before_rides[0])
            steps = tuple(
                _put_in(line, texts, found[bike.slug], before) for line in sketch.definition.worked
            )
            words = sketch.definition.sentence
            found[bike.slug][sketch.id] = replace(
                figure,
                inputs=inputs,
                steps=steps,
                sentence=words(figure.value, show.text(figure)) if words else "",
                note=_update_note(figure) if figure.before_rides else "",
            )


def _update_note(figure: Figure) -> str:
    value, low, high = figure.before_rides or (figure.value, figure.low, figure.high)
    before = replace(figure, value=value, low=low, high=high)
    return (
        f"Tightened by the reviewers' own rides (a Bayesian update of the uncertain inputs): without them it would be "
        f"{show.text(before)}, interval {show.interval(before) or 'none'}."
    )


def _inputs(
    case: Case,
    sketch: Sketch,
    index: int,
    place: dict[int, int],
    known: dict[tuple[Use, int], Input | None],
) -> tuple[Input, ...]:
    """Inputs of one figure of one bike, the strongest first; `known` keeps what figures share."""
    found, counted = [], set()
    for use in sketch.uses:
        of_level = use[0] in levels.KINDS
        if of_level and sketch.rows is None:
            continue
        key = (use, int(sketch.rows[index]) if of_level and sketch.rows is not None else index)
        if key not in known:
            known[key] = _input(use, _look(case, use, index, sketch.rows))
        given = known[key]
        if given is None:
            continue
        factor = case.factor_of(use)
        if factor not in counted and given.low != given.high:
            share = round(float(sketch.shares[index, place[factor]]), 4)
            if share:
                counted.add(factor)
                given = replace(given, share=share)
        found.append(given)
    return tuple(sorted(found, key=lambda each: -each.share))


def _input(use: Use, resolved: Resolved | None) -> Input | None:
    """An input without its share; None when it is missing or endless."""
    if resolved is None or not math.isfinite(resolved.value):
        return None
    title, unit = _kind(use)
    value, low, high = (
        show.rounded(each) for each in (resolved.value, resolved.low, resolved.high)
    )
    return Input(
        use[0], title, value, unit.si, low, high, resolved.basis, resolved.text, resolved.source
    )


def _input_text(given: Input) -> str:
    _, unit = _kind((given.id, "", ""))
    return show.quantity(given.value, unit.metric)


def _put_in(line: str, texts: dict[str, str], figures: dict[str, Figure], figure: Figure) -> str:
    """Fill one line of the derivation: inputs first, then figures of the same bike."""

    def found(match: re.Match[str]) -> str:
        id = match[1]
        if id == "value":
            return show.text(figure)
        if id in texts:
            return texts[id]
        if id in figures:
            return show.text(figures[id])
        return "no limit" if id.startswith(("level.", "motor.")) else "not stated"

    return PLACEHOLDER.sub(found, line)
