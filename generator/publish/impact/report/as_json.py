"""The report as JSON. Keys may be added; `format` is increased if one must change.

format        1
before, after names of the two sides
summary       figures, folded, basis, widths, ranks, clear_ranks, lists, live_figures, sentences, new_problems,
              gone_problems, errors: counts
bikes         slug, name, what (added, removed, renamed, changed, not readable), was, keys, idle, standings
              `keys` have file, key, old, new, line; `idle` are changed keys on which no figure depends;
              `standings` are the headline figures of a bike that was added (now) or removed (before): figure,
              title, unit, value, low, high (SI), text, basis, places; a place has list (a use, empty for all
              bikes), place (from the best), of (number of bikes)
content       file, key, old, new, line
figures       bike, name, figure, title, headline, unit, old, new, change, width, shown, why
              `old` and `new` are null or value, low, high (SI), text, basis; `shown` is false if the shown value
              and its basis are the same, for example if only the interval changed; `change` and `width` are
              ratios or null
ranks         figure, title, ahead, behind, lists, clear, sentence
lists         list, members, what (entered, left)
live_figures  file, line, bike, figure, old, new
sentences     file, line, text
pages         added, gone, changed; `changed` is null unless both sites were rendered
problems      new, gone, errors: each a list of problems as in `vet --format json`
notes         texts
region        the publication's own region as `lists` names it; empty if no rule is of that region
"""

import json
import math
from dataclasses import asdict
from typing import Any

from generator.publish.impact.model import BikeChange, FigureMove, Impact

FORMAT = 1


def format_json(impact: Impact) -> str:
    return json.dumps(build_record(impact), indent=1, ensure_ascii=False, allow_nan=False)


def build_record(impact: Impact) -> dict[str, Any]:
    """JSON-ready data. An infinite value becomes None."""
    return {
        "format": FORMAT,
        "before": impact.before,
        "after": impact.after,
        "summary": {
            "figures": len(impact.visible_moves),
            "folded": len(impact.folded_moves),
            "basis": len(impact.basis_changes),
            "widths": len(impact.width_changes),
            "ranks": len(impact.swaps),
            "clear_ranks": sum(swap.clear for swap in impact.swaps),
            "lists": len(impact.lists),
            "live_figures": len(impact.live),
            "sentences": len(impact.sentences),
            "new_problems": len(impact.new_problems),
            "gone_problems": len(impact.gone_problems),
            "errors": len(impact.errors),
        },
        "bikes": [_bike_record(change) for change in impact.bikes],
        "content": [asdict(change) for change in impact.content],
        "figures": [_move_record(move) for move in impact.moves],
        "ranks": [asdict(swap) for swap in impact.swaps],
        "lists": [asdict(each) for each in impact.lists],
        "live_figures": [asdict(each) for each in impact.live],
        "sentences": [asdict(each) for each in impact.sentences],
        "pages": asdict(impact.pages),
        "problems": {
            "new": [asdict(problem) for problem in impact.new_problems],
            "gone": [asdict(problem) for problem in impact.gone_problems],
            "errors": [asdict(problem) for problem in impact.errors],
        },
        "notes": list(impact.notes),
        "region": impact.region,
    }


def _bike_record(change: BikeChange) -> dict[str, Any]:
    """A bike's change as JSON-ready data."""
    record = asdict(change)
    for standing in record["standings"]:
        for name in ("value", "low", "high"):
            standing[name] = standing[name] if math.isfinite(standing[name]) else None
    return record


def _move_record(move: FigureMove) -> dict[str, Any]:
    """A changed figure as JSON-ready data."""
    return {
        "bike": move.bike,
        "name": move.name,
        "figure": move.figure,
        "title": move.title,
        "headline": move.headline,
        "unit": move.unit,
        "old": _figure_record(move.old, move.old_text, move.old_basis),
        "new": _figure_record(move.new, move.new_text, move.new_basis),
        "change": move.change,
        "width": move.width,
        "shown": move.is_visible,
        "why": list(move.why),
    }


def _figure_record(
    numbers: tuple[float, float, float] | None, text: str, basis: str
) -> dict[str, Any] | None:
    """A figure in one state as JSON-ready data; None if it is lacking there."""
    if numbers is None:
        return None
    value, low, high = (number if math.isfinite(number) else None for number in numbers)
    return {"value": value, "low": low, "high": high, "text": text, "basis": basis}
