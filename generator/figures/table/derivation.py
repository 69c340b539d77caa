"""How a figure of one bike was worked out: its inputs with their shares, and the formula with numbers put in."""

import math
import re
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.figures import show
from generator.figures.inputs import INPUTS, ResolvedInput, levels
from generator.figures.inputs.case import Case, InputUse
from generator.figures.model import Figure, Unit, UsedInput
from generator.figures.registry import FigureDefinition
from generator.figures.table.workings import StoredWorking, Workings

PLACEHOLDER = re.compile(r"\{([a-z0-9_.]+)\}")


@dataclass(frozen=True)
class FigureEvaluation:
    """A figure's evaluation for all bikes, kept until the derivations are written."""

    id: str
    definition: FigureDefinition
    uses: list[InputUse]
    factors: list[int]
    """Indices of the factors, in the order of `shares`."""
    shares: NDArray[np.float64]
    """Shape (bikes, factors)."""
    rows: NDArray[np.intp] | None
    parts: dict[str, tuple[NDArray[np.float64], Unit]]
    """Intermediate values, nominal in column 0."""


def find_level_name(case: Case, row: int) -> str:
    """Name of the level of a row, such as `Even`."""
    if row < 0:
        return "—"
    place = case.rows[row]
    return levels.get_level(case.bikes[place.bike], place.level).name


def _get_resolved(
    case: Case, use: InputUse, index: int, rows: NDArray[np.intp] | None
) -> ResolvedInput | None:
    if use[0] in levels.LEVEL_INPUTS:
        if rows is None or rows[index] < 0:
            return None
        return case.resolve_level_input(use[0])[rows[index]]
    return case.resolve_input(use)[index]


def _find_title_and_unit(use: InputUse) -> tuple[str, Unit]:
    kind = levels.LEVEL_INPUTS[use[0]] if use[0] in levels.LEVEL_INPUTS else INPUTS[use[0]]
    return kind.title, kind.unit


def list_missing_titles(
    case: Case, uses: list[InputUse], index: int, rows: NDArray[np.intp] | None
) -> tuple[str, ...]:
    """Titles of inputs that are NaN for a bike."""
    titles = []
    for use in uses:
        resolved = _get_resolved(case, use, index, rows)
        if resolved is not None and math.isnan(resolved.value):
            titles.append(_find_title_and_unit(use)[0])
    return tuple(dict.fromkeys(titles))


def write_derivations(
    case: Case, sketches: list[FigureEvaluation], found: dict[str, dict[str, Figure]]
) -> dict[str, Workings]:
    """Write sentences into the figures, once all figures of all bikes are there; the workings by slug."""
    told: dict[str, dict[str, StoredWorking]] = {slug: {} for slug in found}
    known: list[dict[UsedInput, int]] = [{} for _ in case.bikes]
    """Index of each input, without its share, by bike."""
    seen: dict[tuple[InputUse, int], tuple[int, UsedInput] | None] = {}
    for sketch in sketches:
        lines = [PLACEHOLDER.split(line) for line in sketch.definition.worked]
        wanted = {id for line in lines for id in line[1::2]}
        uses = _list_figure_inputs(case, sketch)
        for index, bike in enumerate(case.bikes):
            figures = found[bike.slug]
            figure = figures.get(sketch.id)
            if figure is None:
                continue
            used, texts = _collect_inputs(case, sketch, index, uses, known[index], seen, wanted)
            for name, (values, unit) in sketch.parts.items():
                texts[f"part.{name}"] = show.format_quantity(float(values[index, 0]), unit.metric)
            told[bike.slug][sketch.id] = StoredWorking(
                used, _fill_steps(lines, texts, figures, figure)
            )
            words = sketch.definition.sentence
            if words or figure.before_rides:
                figures[sketch.id] = replace(
                    figure,
                    sentence=words(figure.value, show.format_figure(figure)) if words else "",
                    note=_write_update_note(figure) if figure.before_rides else "",
                )
    return {
        bike.slug: Workings(list(places), told[bike.slug])
        for bike, places in zip(case.bikes, known, strict=True)
    }


def _write_update_note(figure: Figure) -> str:
    value, low, high = figure.before_rides or (figure.value, figure.low, figure.high)
    before = replace(figure, value=value, low=low, high=high)
    return (
        f"Tightened by the reviewers' own rides (a Bayesian update of the uncertain inputs): without them it would be "
        f"{show.format_figure(before)}, interval {show.format_interval(before) or 'none'}."
    )


class _FigureInput(NamedTuple):
    """One input that a figure used, and the index of its share among the figure's."""

    use: InputUse
    of_level: bool
    place: int


def _list_figure_inputs(case: Case, sketch: FigureEvaluation) -> list[_FigureInput]:
    """Inputs that a figure used, without those of levels where it has no level."""
    place = {factor: index for index, factor in enumerate(sketch.factors)}
    return [
        _FigureInput(use, use[0] in levels.LEVEL_INPUTS, place[case.find_factor(use)])
        for use in sketch.uses
        if sketch.rows is not None or use[0] not in levels.LEVEL_INPUTS
    ]


def _collect_inputs(
    case: Case,
    sketch: FigureEvaluation,
    index: int,
    uses: list[_FigureInput],
    places: dict[UsedInput, int],
    seen: dict[tuple[InputUse, int], tuple[int, UsedInput] | None],
    wanted: set[str],
) -> tuple[tuple[tuple[int, float], ...], dict[str, str]]:
    """Indices and shares of the inputs of one figure of one bike, the largest share first, and texts of the wanted ones.

    `places` has the index of each of the bike's inputs; `seen` keeps the inputs that figures share.
    """
    found: list[tuple[int, float]] = []
    texts: dict[str, str] = {}
    counted: set[int] = set()
    row = -1 if sketch.rows is None else int(sketch.rows[index])
    shares = sketch.shares[index].tolist()
    for use, of_level, place in uses:
        key = (use, row if of_level else index)
        if key not in seen:
            given = _make_input(use, _get_resolved(case, use, index, sketch.rows))
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
            texts[given.id] = _format_input(given)
    return tuple(sorted(found, key=_get_sort_key)), texts


def _get_sort_key(used: tuple[int, float]) -> float:
    return -used[1]


def _make_input(use: InputUse, resolved: ResolvedInput | None) -> UsedInput | None:
    """An input without its share; None when it is missing or infinite."""
    if resolved is None or not math.isfinite(resolved.value):
        return None
    title, unit = _find_title_and_unit(use)
    value, low, high = (
        show.round_value(each) for each in (resolved.value, resolved.low, resolved.high)
    )
    return UsedInput(
        use[0], title, value, unit.si, low, high, resolved.basis, resolved.text, resolved.source
    )


def _format_input(given: UsedInput) -> str:
    _, unit = _find_title_and_unit((given.id, "", ""))
    return show.format_quantity(given.value, unit.metric)


def _fill_steps(
    lines: list[list[str]], texts: dict[str, str], figures: dict[str, Figure], figure: Figure
) -> tuple[str, ...]:
    """The lines of the derivation, filled with inputs and, failing that, figures of the bike.

    Each line is split at its placeholders: text and id alternate.
    """

    def find_text(id: str) -> str:
        if id == "value":
            value = figure.before_rides[0] if figure.before_rides else figure.value
            return show.format_figure(
                figure if value == figure.value else replace(figure, value=value)
            )
        if id in texts:
            return texts[id]
        if id in figures:
            return show.format_figure(figures[id])
        return "no limit" if id.startswith(("level.", "motor.")) else "not stated"

    return tuple(
        "".join(part if place % 2 == 0 else find_text(part) for place, part in enumerate(line))
        for line in lines
    )
