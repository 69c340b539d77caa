"""How a figure of one bike was worked out: its inputs with their shares, and the formula with numbers put in."""

import math
import re
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.figures import show
from generator.figures.inputs import INPUTS, Resolved, levels
from generator.figures.inputs.case import Case, Use
from generator.figures.model import Figure, Input, Unit
from generator.figures.registry import Definition
from generator.figures.table.workings import Told, Workings

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


def explain(
    case: Case, sketches: list[Sketch], found: dict[str, dict[str, Figure]]
) -> dict[str, Workings]:
    """Write sentences into the figures, once all figures of all bikes are there; the workings by slug."""
    told: dict[str, dict[str, Told]] = {slug: {} for slug in found}
    known: list[dict[Input, int]] = [{} for _ in case.bikes]
    """Places of the inputs of each bike, without their shares."""
    seen: dict[tuple[Use, int], tuple[int, Input] | None] = {}
    for sketch in sketches:
        lines = [PLACEHOLDER.split(line) for line in sketch.definition.worked]
        wanted = {id for line in lines for id in line[1::2]}
        uses = _moved(case, sketch)
        for index, bike in enumerate(case.bikes):
            figures = found[bike.slug]
            figure = figures.get(sketch.id)
            if figure is None:
                continue
            used, texts = _inputs(case, sketch, index, uses, known[index], seen, wanted)
            for name, (values, unit) in sketch.parts.items():
                texts[f"part.{name}"] = show.quantity(float(values[index, 0]), unit.metric)
            told[bike.slug][sketch.id] = Told(used, _steps(lines, texts, figures, figure))
            words = sketch.definition.sentence
            if words or figure.before_rides:
                figures[sketch.id] = replace(
                    figure,
                    sentence=words(figure.value, show.text(figure)) if words else "",
                    note=_update_note(figure) if figure.before_rides else "",
                )
    return {
        bike.slug: Workings(list(places), told[bike.slug])
        for bike, places in zip(case.bikes, known, strict=True)
    }


def _update_note(figure: Figure) -> str:
    value, low, high = figure.before_rides or (figure.value, figure.low, figure.high)
    before = replace(figure, value=value, low=low, high=high)
    return (
        f"Tightened by the reviewers' own rides (a Bayesian update of the uncertain inputs): without them it would be "
        f"{show.text(before)}, interval {show.interval(before) or 'none'}."
    )


class _Moved(NamedTuple):
    """One use of a figure, and where the share of what moves it stands among the figure's."""

    use: Use
    of_level: bool
    place: int


def _moved(case: Case, sketch: Sketch) -> list[_Moved]:
    """What a figure used, except levels' inputs where it has no level."""
    place = {factor: index for index, factor in enumerate(sketch.factors)}
    return [
        _Moved(use, use[0] in levels.KINDS, place[case.factor_of(use)])
        for use in sketch.uses
        if sketch.rows is not None or use[0] not in levels.KINDS
    ]


def _inputs(
    case: Case,
    sketch: Sketch,
    index: int,
    uses: list[_Moved],
    places: dict[Input, int],
    seen: dict[tuple[Use, int], tuple[int, Input] | None],
    wanted: set[str],
) -> tuple[tuple[tuple[int, float], ...], dict[str, str]]:
    """Places and shares of the inputs of one figure of one bike, the strongest first, and the wanted ones in words.

    `places` are those of the bike's inputs; `seen` keeps what figures share.
    """
    found: list[tuple[int, float]] = []
    texts: dict[str, str] = {}
    counted: set[int] = set()
    row = -1 if sketch.rows is None else int(sketch.rows[index])
    shares = sketch.shares[index].tolist()
    for use, of_level, place in uses:
        key = (use, row if of_level else index)
        if key not in seen:
            given = _input(use, _look(case, use, index, sketch.rows))
            seen[key] = None if given is None else (places.setdefault(given, len(places)), given)
        known = seen[key]
        if known is None:
            continue
        at, given = known
        share = 0.0
        if place not in counted and given.low != given.high:
            share = round(shares[place], 4)
            if share:
                counted.add(place)
        found.append((at, share))
        if given.id in wanted:
            texts[given.id] = _input_text(given)
    return tuple(sorted(found, key=_weight)), texts


def _weight(used: tuple[int, float]) -> float:
    return -used[1]


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


def _steps(
    lines: list[list[str]], texts: dict[str, str], figures: dict[str, Figure], figure: Figure
) -> tuple[str, ...]:
    """The lines of the derivation, filled: inputs first, then figures of the same bike.

    Each line is cut at its placeholders: text and id by turns.
    """

    def filled(id: str) -> str:
        if id == "value":
            value = figure.before_rides[0] if figure.before_rides else figure.value
            return show.text(figure if value == figure.value else replace(figure, value=value))
        if id in texts:
            return texts[id]
        if id in figures:
            return show.text(figures[id])
        return "no limit" if id.startswith(("level.", "motor.")) else "not stated"

    return tuple(
        "".join(part if place % 2 == 0 else filled(part) for place, part in enumerate(line))
        for line in lines
    )
