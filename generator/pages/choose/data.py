"""The chooser's tables as a data file for the browser: the same numbers that Python ranks by, packed."""

from typing import Any

from generator.figures import units
from generator.figures.chooser.changes import BUDGET_STEP, MORE_BUDGET, TRIED, questions
from generator.figures.chooser.model import Candidate, Chooser
from generator.figures.chooser.rule import (
    APART,
    CLOSE,
    DOUBTS,
    FROM_RACKS,
    GOOD,
    LIFT,
    MIDDLING,
    MUSTS,
    ROUND_DISTANCE,
    ROUND_MASS,
    SHORTLIST,
    UNKNOWN,
)
from generator.figures.chooser.wishes import WISHES
from generator.pages.choose.address import keys
from generator.pages.frame import browser_data

PATH = "data/chooser.js"
STATES = ("on sale", "announced", "withdrawn")


def packed(chooser: Chooser) -> dict[str, Any]:
    """Everything, as plain data; templates/scripts/choose_rank.js unpacks it."""
    names = sorted({each for bike in chooser.bikes for each in bike.law.values()})
    figures = tuple(dict.fromkeys(id for bike in chooser.bikes for id in sorted(bike.figures)))
    return {
        "people": [[each.id, each.mass] for each in chooser.people],
        "roads": [[each.id, each.name, each.grade] for each in chooser.roads],
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
        "usual": {id: getattr(chooser.usual, id) for id in keys()},
        "wishes": [
            {
                "id": each.id,
                "title": each.title,
                "figure": each.figure,
                "unit": browser_data.unit(each.unit),
                "knots": each.knots,
                "weight": each.weight,
                "words": [each.good, each.middling, each.poor],
            }
            for each in WISHES
        ],
        "units": {
            "distance": browser_data.unit(units.DISTANCE),
            "trip": browser_data.unit(ROUND_DISTANCE),
            "load": browser_data.unit(ROUND_MASS),
            "mass": browser_data.unit(units.MASS),
            "grade": browser_data.unit(units.GRADE),
        },
        "musts": MUSTS,
        "doubts": DOUBTS,
        "apart": APART,
        "unknown": UNKNOWN,
        "tried": TRIED,
        "changes": {
            each.id: [[one.id, one.change] for one in each.answers] for each in questions(chooser)
        },
        "more": [MORE_BUDGET, BUDGET_STEP],
        "limits": {
            "close": CLOSE,
            "racks": FROM_RACKS,
            "lift": LIFT,
            "good": GOOD,
            "middling": MIDDLING,
            "shown": SHORTLIST,
        },
        "figures": figures,
        "columns": _columns([_bike(chooser, bike, names, figures) for bike in chooser.bikes]),
    }


def _columns(rows: list[list[Any]]) -> list[list[Any]]:
    """Column by column, which compresses better than bike by bike."""
    return [list(column) for column in zip(*rows, strict=True)]


def _bike(
    chooser: Chooser, bike: Candidate, names: list[str], figures: tuple[str, ...]
) -> list[Any]:
    """One row. Ranges and grades run over riders, routes and loads; along the loads only the change is given."""
    ranges = [
        [bike.ranges.get((person.id, road.id, load)) for load in chooser.loads]
        for person in chooser.people
        for road in chooser.roads
    ]
    grades = [
        [bike.grades.get((person.id, load)) for load in chooser.loads] for person in chooser.people
    ]
    spans = [bike.range_spans.get(road.id, (1.0, 1.0)) for road in chooser.roads]
    return [
        bike.slug,
        bike.name,
        STATES.index(bike.status),
        sum(1 << place for place, use in enumerate(chooser.uses) if use in bike.uses),
        browser_data.short(bike.price, 9),
        bike.currency,
        *(
            browser_data.short(each)
            for each in (bike.mass, bike.permitted, bike.place, bike.places)
        ),
        "".join(chr(97 + names.index(bike.law[each.id])) for each in chooser.regions),
        *_steps(ranges),
        *_steps(grades),
        *(round(1000.0 * edge) for span in (*spans, bike.grade_span) for edge in span),
        *(browser_data.short(each) for id in figures for each in bike.figures.get(id, (None,) * 3)),
    ]


def _steps(rows: list[list[int | None]]) -> list[int | None]:
    """The first of each row as it is, the others less the one before that is known."""
    found: list[int | None] = []
    for row in rows:
        before = 0
        for value in row:
            found.append(None if value is None else value - before)
            before = before if value is None else value
    return found
