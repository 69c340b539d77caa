"""Which bikes fit a reader's answers: must-haves first, then weighted wishes. `choosing_tables.py` holds the rule as data.

`rank` is the whole rule, and `Asked` what it puts to each bike. The browser has the same in
templates/scripts/choose_rank.js, over the same tables; a test holds the two together. Only stated facts and figures go in,
and the order of the bikes in the sources does not matter.
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
)
from generator.figures.choosing_tables import CLOSE, FROM_RACKS, LIFT
from generator.figures.choosing_wishes import WISHES, Wish


def rank(chooser: Chooser, answers: Answers) -> Ranking:
    """Must-haves, then the weighted mean of the fits; equal scores keep the order of `chooser.bikes`."""
    asked = Asked(chooser, answers)
    wanted = wishes(chooser, answers)
    places: list[Place] = []
    apart: list[tuple[Candidate, str]] = []
    left: list[tuple[Candidate, tuple[str, ...]]] = []
    for bike in chooser.bikes:
        missed, doubts = asked.musts(bike)
        if missed:
            left.append((bike, missed))
        elif asked.budget is not None and bike.price is None:
            apart.append((bike, "currency" if bike.currency else "unpriced"))
        else:
            fits = tuple([_fit(asked, bike, *each) for each in wanted])
            places.append(Place(bike, _score(fits), fits, doubts, False))
    places.sort(key=lambda place: -place.score)
    for at in range(1, len(places)):
        if places[at - 1].score - places[at].score < CLOSE:
            places[at] = places[at]._replace(close=True)
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


class Asked:
    """What a reader's answers come to, looked up once, to be put to every bike."""

    def __init__(self, chooser: Chooser, answers: Answers) -> None:
        self.answers = answers
        self.trip = float(answers.trip) * 1000.0
        """[m]"""
        self.budget = float(answers.budget) if answers.budget else None
        self.load = chooser.loads[answers.load]
        """[kg]"""
        self.road = next(each for each in chooser.roads if each.id == answers.hills)
        self._rider = next(each for each in chooser.people if each.id == answers.work)
        self._whole = answers.load in chooser.whole
        self._region = next((each for each in chooser.regions if each.id == answers.law), None)
        self._rides = (answers.work, answers.hills, answers.load)
        self._climbs = (answers.work, answers.load)

    def musts(self, bike: Candidate) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Must-haves that a bike misses, and those of which nothing is known."""
        answers = self.answers
        if answers.use != ANY and answers.use not in bike.uses:
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

        if self.budget is not None and bike.price is not None:
            ask("budget", bike.price <= self.budget)
        reach = self.distance(bike)
        ask("reach", None if reach is None else reach >= self.trip)
        together = self.total(bike)
        if together is None or bike.permitted is None:
            ask("mass", None)
        else:
            ask("mass", together <= bike.permitted)
        if self.load >= FROM_RACKS:
            rated = self.racks(bike)
            ask("racks", None if rated is None else rated >= self.load)
        if answers.law != ELSEWHERE:
            category = bike.law[self.region.id]
            ordinary = category in self.region.ordinary
            if category == "unknown" or ordinary or answers.fast == "no":
                ask("law", None if category == "unknown" else ordinary)
            else:
                doubts.append("fast")
        if answers.stairs == "daily":
            ask("lift", None if bike.mass is None else bike.mass <= LIFT)
        return tuple(missed), tuple(doubts)

    @property
    def region(self) -> Region:
        """Whose law holds, where it is asked."""
        if self._region is None:
            raise KeyError(self.answers.law)
        return self._region

    def distance(self, bike: Candidate) -> float | None:
        """Range with the reader's legs, road and load. [m]"""
        cell = bike.ranges.get(self._rides)
        return None if cell is None else cell * CELL

    def grade(self, bike: Candidate) -> float | None:
        """Steepest grade held with the reader's legs and load. [-]"""
        cell = bike.grades.get(self._climbs)
        return None if cell is None else cell * GRADE_CELL

    def total(self, bike: Candidate) -> float | None:
        """Bike, rider and load. [kg]"""
        return None if bike.mass is None else bike.mass + self._rider.mass + self.load

    def racks(self, bike: Candidate) -> float | None:
        """What the bike's racks may take of the reader's load. [kg]"""
        return bike.place if self._whole else bike.places

    def measure(self, bike: Candidate, wish: Wish) -> float | None:
        """What the knots of a wish are of."""
        if wish.id == "reach":
            reach = self.distance(bike)
            return None if reach is None else reach / self.trip
        if wish.id == "climb":
            held = self.grade(bike)
            return None if held is None else held / self.road.grade
        if wish.id == "cost":
            return None if bike.price is None else bike.price / float(self.answers.budget)
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


def _fit(asked: Asked, bike: Candidate, wish: Wish, weight: int) -> Fit:
    value = asked.measure(bike, wish)
    return Fit(wish, value, 0.0 if value is None else fit(wish, value), weight)


def _score(fits: tuple[Fit, ...]) -> int:
    weights = 0
    gained = 0.0
    for each in fits:  # not sum(): the browser adds one after the other, too
        weights += each.weight
        gained += each.weight * each.fit
    return math.floor(1000.0 * gained / weights + 0.5) if weights else 0
