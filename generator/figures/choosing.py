"""Which bikes fit a reader's answers: must-haves first, then weighted wishes. `choosing_tables.py` holds the rule as data.

`rank` is the whole rule. The browser has the same one in templates/scripts/choose_rank.js, over the same tables; a test
holds the two together. Only stated facts and figures go in, and the order of the bikes in the sources does not matter.
"""

import math
from itertools import pairwise

from generator.figures.choosing_model import (
    ANY,
    CELL,
    ELSEWHERE,
    GRADE_CELL,
    Answers,
    Candidate,
    Chooser,
    Fit,
    Place,
    Ranking,
    Region,
    Road,
)
from generator.figures.choosing_tables import CLOSE, FROM_RACKS, LIFT
from generator.figures.choosing_wishes import WISHES, Wish


def rank(chooser: Chooser, answers: Answers) -> Ranking:
    """Must-haves, then the weighted mean of the fits; equal scores keep the order of `chooser.bikes`."""
    wanted = wishes(chooser, answers)
    places: list[Place] = []
    apart: list[tuple[Candidate, str]] = []
    left: list[tuple[Candidate, tuple[str, ...]]] = []
    for bike in chooser.bikes:
        missed, doubts = musts(chooser, bike, answers)
        if missed:
            left.append((bike, missed))
        elif answers.budget and bike.price is None:
            apart.append((bike, "currency" if bike.currency else "unpriced"))
        else:
            fits = tuple(_fit(chooser, bike, answers, *each) for each in wanted)
            places.append(Place(bike, _score(fits), fits, doubts, False))
    places.sort(key=lambda place: -place.score)
    for at in range(1, len(places)):
        near = places[at - 1].score - places[at].score < CLOSE
        places[at] = places[at]._replace(close=near)
    return Ranking(tuple(places), tuple(apart), tuple(left))


def wishes(chooser: Chooser, answers: Answers) -> list[tuple[Wish, int]]:
    """The wishes that these answers call for, with their weights."""
    return [
        (wish, answers.weights.get(wish.id, wish.weight))
        for wish in WISHES
        if _called(chooser, answers, wish.id)
    ]


def _called(chooser: Chooser, answers: Answers, wish: str) -> bool:
    if wish not in chooser.conditions:
        return True
    question, wanted = chooser.conditions[wish]
    answer = getattr(answers, question)
    return answer != "" if wanted == ("*",) else answer in wanted


def musts(
    chooser: Chooser, bike: Candidate, answers: Answers
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Must-haves that a bike misses, and those of which nothing is known."""
    if answers.use not in (ANY, *bike.uses):
        return ("use",), ()
    if bike.status == "withdrawn":
        return ("sale",), ()
    missed: list[str] = []
    doubts: list[str] = []

    def ask(id: str, holds: bool | None) -> None:
        if holds is None:
            doubts.append(id)
        elif not holds:
            missed.append(id)

    if answers.budget and bike.price is not None:
        ask("budget", bike.price <= float(answers.budget))
    reach = distance(bike, answers)
    ask("reach", None if reach is None else reach >= trip(answers))
    together = total(chooser, bike, answers)
    if together is None or bike.permitted is None:
        ask("mass", None)
    else:
        ask("mass", together <= bike.permitted)
    load = chooser.loads[answers.load]
    if load >= FROM_RACKS:
        rated = racks(chooser, bike, answers)
        ask("racks", None if rated is None else rated >= load)
    if answers.law != ELSEWHERE:
        place = region(chooser, answers)
        category = bike.law[place.id]
        ordinary = category in place.ordinary
        if category == "unknown" or ordinary or answers.fast == "no":
            ask("law", None if category == "unknown" else ordinary)
        else:
            doubts.append("fast")
    if answers.stairs == "daily":
        ask("lift", None if bike.mass is None else bike.mass <= LIFT)
    return tuple(missed), tuple(doubts)


def region(chooser: Chooser, answers: Answers) -> Region:
    return next(each for each in chooser.regions if each.id == answers.law)


def trip(answers: Answers) -> float:
    """Length of the reader's trip. [m]"""
    return float(answers.trip) * 1000.0


def distance(bike: Candidate, answers: Answers) -> float | None:
    """Range with the reader's legs, road and load. [m]"""
    cell = bike.ranges.get((answers.work, answers.hills, answers.load))
    return None if cell is None else cell * CELL


def grade(bike: Candidate, answers: Answers) -> float | None:
    """Steepest grade held with the reader's legs and load. [-]"""
    cell = bike.grades.get((answers.work, answers.load))
    return None if cell is None else cell * GRADE_CELL


def total(chooser: Chooser, bike: Candidate, answers: Answers) -> float | None:
    """Bike, rider and load. [kg]"""
    rider = next(each for each in chooser.people if each.id == answers.work)
    return None if bike.mass is None else bike.mass + rider.mass + chooser.loads[answers.load]


def racks(chooser: Chooser, bike: Candidate, answers: Answers) -> float | None:
    """What the bike's racks may take of the reader's load. [kg]"""
    return bike.place if answers.load in chooser.whole else bike.places


def road(chooser: Chooser, answers: Answers) -> Road:
    return next(each for each in chooser.roads if each.id == answers.hills)


def measure(chooser: Chooser, bike: Candidate, answers: Answers, wish: Wish) -> float | None:
    """What the knots of a wish are of."""
    if wish.id == "reach":
        reach = distance(bike, answers)
        return None if reach is None else reach / trip(answers)
    if wish.id == "climb":
        held = grade(bike, answers)
        return None if held is None else held / road(chooser, answers).grade
    if wish.id == "cost":
        return None if bike.price is None else bike.price / float(answers.budget)
    if wish.figure == "spec.mass":
        return bike.mass
    found = bike.figures.get(wish.figure)
    return found[0] if found else None


def fit(wish: Wish, value: float) -> float:
    """Along straight lines between the knots, flat outside them."""
    knots = wish.knots
    if value <= knots[0][0]:
        return knots[0][1]
    for (x0, y0), (x1, y1) in pairwise(knots):
        if value <= x1:
            return y0 + (y1 - y0) * (value - x0) / (x1 - x0)
    return knots[-1][1]


def _fit(chooser: Chooser, bike: Candidate, answers: Answers, wish: Wish, weight: int) -> Fit:
    value = measure(chooser, bike, answers, wish)
    return Fit(wish, value, 0.0 if value is None else fit(wish, value), weight)


def _score(fits: tuple[Fit, ...]) -> int:
    weights = 0
    gained = 0.0
    for each in fits:  # not sum(): the browser adds one after the other, too
        weights += each.weight
        gained += each.weight * each.fit
    return math.floor(1000.0 * gained / weights + 0.5) if weights else 0
