"""The report for machines. Keys stay; new ones may be added, and `format` counts up when one must change.

format        1
before, after names of the two sides
summary       figures, folded, basis, widths, ranks, clear_ranks, lists, live_figures, sentences, new_problems,
              gone_problems, errors: counts
bikes         slug, name, what (added, removed, renamed, changed, not readable), was, keys, idle, standings
              `idle` are keys that changed and on which no figure depends; `standings` are the headline figures of
              a bike that was added (now) or removed (before): figure, title, unit, value, low, high (SI), text,
              basis, places; a place is list (a use, empty for all bikes), place (from the best), of
content       like `keys`: file, key, old, new, line
figures       bike, name, figure, title, headline, unit, old, new, change, width, shown, why
              `old` and `new` are null or value, low, high (SI), text, basis; `shown` is false where the
              shown value and its basis are the same, such as where only the interval moved; `change` and
              `width` are ratios or null
ranks         figure, title, ahead, behind, lists, clear, sentence
lists         list, members, what (entered, left)
live_figures  file, line, bike, figure, old, new
sentences     file, line, text
pages         added, gone, changed; `changed` is null unless both sites were rendered
problems      new, gone, errors: each a list like that of `vet --format json`
notes         texts
region        the publication's own, by its name in `lists`; empty where no rule is of it
"""

import json
import math
from dataclasses import asdict
from typing import Any

from generator.publish.impact.model import BikeChange, Impact, Move

FORMAT = 1


def as_json(impact: Impact) -> str:
    return json.dumps(as_record(impact), indent=1, ensure_ascii=False, allow_nan=False)


def as_record(impact: Impact) -> dict[str, Any]:
    """JSON-ready data. An infinite value becomes None."""
    return {
        "format": FORMAT,
        "before": impact.before,
        "after": impact.after,
        "summary": {
            "figures": len(impact.shown),
            "folded": len(impact.folded),
            "basis": len(impact.basis),
            "widths": len(impact.widths),
            "ranks": len(impact.swaps),
            "clear_ranks": sum(swap.clear for swap in impact.swaps),
            "lists": len(impact.lists),
            "live_figures": len(impact.live),
            "sentences": len(impact.sentences),
            "new_problems": len(impact.new_problems),
            "gone_problems": len(impact.gone_problems),
            "errors": len(impact.errors),
        },
        "bikes": [_bike(change) for change in impact.bikes],
        "content": [asdict(change) for change in impact.content],
        "figures": [_move(move) for move in impact.moves],
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


def _bike(change: BikeChange) -> dict[str, Any]:
    record = asdict(change)
    for standing in record["standings"]:
        for name in ("value", "low", "high"):
            standing[name] = standing[name] if math.isfinite(standing[name]) else None
    return record


def _move(move: Move) -> dict[str, Any]:
    return {
        "bike": move.bike,
        "name": move.name,
        "figure": move.figure,
        "title": move.title,
        "headline": move.headline,
        "unit": move.unit,
        "old": _side(move.old, move.old_text, move.old_basis),
        "new": _side(move.new, move.new_text, move.new_basis),
        "change": move.change,
        "width": move.width,
        "shown": move.shows,
        "why": list(move.why),
    }


def _side(
    numbers: tuple[float, float, float] | None, text: str, basis: str
) -> dict[str, Any] | None:
    if numbers is None:
        return None
    value, low, high = (number if math.isfinite(number) else None for number in numbers)
    return {"value": value, "low": low, "high": high, "text": text, "basis": basis}
