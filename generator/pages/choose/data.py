"""The chooser's tables as a data file for the browser: the numbers that Python ranks by, packed."""

from typing import Any

from generator.figures import units
from generator.figures.chooser.changes import BUDGET_STEP, MORE_BUDGET, TRIED, list_questions
from generator.figures.chooser.model import Candidate, Chooser
from generator.figures.chooser.rule import (
    APART,
    CLOSE_SCORE,
    DOUBTS,
    GOOD,
    LIFT_LIMIT,
    MIDDLING,
    MUSTS,
    RACK_LOAD,
    ROUND_DISTANCE,
    ROUND_MASS,
    SHORTLIST,
    UNKNOWN,
)
from generator.figures.chooser.wishes import WISHES
from generator.pages.choose.address import list_question_ids
from generator.pages.frame import browser_data

PATH = "data/chooser.js"
STATES = ("on sale", "announced", "withdrawn")


def pack_chooser(chooser: Chooser) -> dict[str, Any]:
    """The chooser as plain data, which templates/scripts/choose_rank.js unpacks."""
    names = sorted({each for bike in chooser.bikes for each in bike.law.values()})
    figures = tuple(dict.fromkeys(id for bike in chooser.bikes for id in sorted(bike.figures)))
    return {
        "people": [[each.id, each.mass] for each in chooser.riders],
        "roads": [[each.id, each.name, each.grade] for each in chooser.routes],
        "loads": list(chooser.loads.items()),
        "whole": chooser.whole,
        "uses": chooser.uses,
        "regions": [
            [each.id, each.name, [names.index(one) for one in each.ordinary if one in names]]
            for each in chooser.regions
        ],
        "categories": names,
        "currency": chooser.currency,
        "conditions": chooser.conditions,
        "usual": {id: getattr(chooser.usual, id) for id in list_question_ids()},
        "wishes": [
            {
                "id": each.id,
                "title": each.title,
                "figure": each.figure,
                "unit": browser_data.describe_unit(each.unit),
                "knots": each.knots,
                "weight": each.weight,
                "words": [each.good, each.middling, each.poor],
            }
            for each in WISHES
        ],
        "units": {
            "distance": browser_data.describe_unit(units.DISTANCE),
            "trip": browser_data.describe_unit(ROUND_DISTANCE),
            "load": browser_data.describe_unit(ROUND_MASS),
            "mass": browser_data.describe_unit(units.MASS),
            "grade": browser_data.describe_unit(units.GRADE),
        },
        "musts": MUSTS,
        "doubts": DOUBTS,
        "apart": APART,
        "unknown": UNKNOWN,
        "tried": TRIED,
        "changes": {
            each.id: [[one.id, one.change] for one in each.answers]
            for each in list_questions(chooser)
        },
        "more": [MORE_BUDGET, BUDGET_STEP],
        "limits": {
            "close": CLOSE_SCORE,
            "racks": RACK_LOAD,
            "lift": LIFT_LIMIT,
            "good": GOOD,
            "middling": MIDDLING,
            "shown": SHORTLIST,
        },
        "figures": figures,
        "columns": _transpose_rows(
            [_pack_bike(chooser, bike, names, figures) for bike in chooser.bikes]
        ),
    }


def _transpose_rows(rows: list[list[Any]]) -> list[list[Any]]:
    """Rows as columns, which compress better."""
    return [list(column) for column in zip(*rows, strict=True)]


def _pack_bike(
    chooser: Chooser, bike: Candidate, names: list[str], figures: tuple[str, ...]
) -> list[Any]:
    """Row of one bike. Ranges and grades run over riders, routes and loads; along the loads as differences."""
    ranges = [
        [bike.ranges.get((person.id, road.id, load)) for load in chooser.loads]
        for person in chooser.riders
        for road in chooser.routes
    ]
    grades = [
        [bike.grades.get((person.id, load)) for load in chooser.loads] for person in chooser.riders
    ]
    spans = [bike.range_spans.get(road.id, (1.0, 1.0)) for road in chooser.routes]
    return [
        bike.slug,
        bike.name,
        STATES.index(bike.status),
        sum(1 << place for place, use in enumerate(chooser.uses) if use in bike.uses),
        browser_data.round_digits(bike.price, 9),
        bike.currency,
        *(
            browser_data.round_digits(each)
            for each in (bike.mass, bike.permitted, bike.best_place_load, bike.all_places_load)
        ),
        "".join(chr(97 + names.index(bike.law[each.id])) for each in chooser.regions),
        *_pack_differences(ranges),
        *_pack_differences(grades),
        *(round(1000.0 * edge) for span in (*spans, bike.grade_span) for edge in span),
        *(
            browser_data.round_digits(each)
            for id in figures
            for each in bike.figures.get(id, (None,) * 3)
        ),
    ]


def _pack_differences(rows: list[list[int | None]]) -> list[int | None]:
    """The first value of each row, then each value's difference from the last known one."""
    found: list[int | None] = []
    for row in rows:
        before = 0
        for value in row:
            found.append(None if value is None else value - before)
            before = before if value is None else value
    return found
