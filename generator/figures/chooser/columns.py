"""What the chooser's rule asks, of all bikes at once: must-haves and wishes as columns, in the order of `Chooser.bikes`.

A column depends on few of the answers, so it is kept under those: rankings with other answers to the rest share it.
"""

from collections.abc import Callable
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from generator.figures.chooser.answers import Asked
from generator.figures.chooser.model import ANY, ELSEWHERE, Answers, Candidate, Chooser
from generator.figures.chooser.rule import FROM_RACKS, LIFT
from generator.figures.chooser.wishes import Wish

MISSED, MET, UNKNOWN = 0, 1, 2
"""How a bike stands to a must-have."""

Column = NDArray[np.float64]
"""SI; NaN is not known."""
States = NDArray[np.int8]

_ASKS = {
    "reach": ("work", "hills", "load", "trip"),
    "climb": ("work", "hills", "load"),
    "cost": ("budget",),
}
"""Answers that the measure of a wish depends on, by its id; that of all others on none."""


class Columns:
    def __init__(self, chooser: Chooser) -> None:
        self._chooser = chooser
        self._kept: dict[tuple[str, ...], Column] = {}

    def musts(self, answers: Answers) -> list[tuple[str, States]]:
        """Each must-have that these answers ask for, and how every bike stands to it.

        A bike that is for another use is asked nothing else, and one that is withdrawn only that.
        """
        asked = Asked(self._chooser, answers)
        serves = self._serving(answers.use)
        offered = _states(
            self._column(lambda bike: float(bike.status != "withdrawn"), "sale"), _holds
        )
        found = [("use", serves), ("sale", np.where(serves == MET, offered, MET))]
        for id, states in self._others(asked):
            found.append((id, np.where((serves == MET) & (offered == MET), states, MET)))
        return found

    def apart(self, answers: Answers) -> NDArray[np.bool_]:
        """Bikes without a price that can be set against the budget, where there is one."""
        prices = self._prices()
        return np.isnan(prices) if answers.budget else np.zeros(len(prices), dtype=bool)

    def measures(self, answers: Answers, wish: Wish) -> Column:
        """What the knots of a wish are of."""
        given = _given(answers, _ASKS.get(wish.id, ()))
        return self._made(("measure", wish.id, *given), lambda: self._measured(answers, wish))

    def fits(self, answers: Answers, wish: Wish) -> Column:
        """How far each bike meets a wish, 0 to 1; 0 where that is not known."""
        given = _given(answers, _ASKS.get(wish.id, ()))
        return self._made(("fit", wish.id, *given), lambda: fit(wish, self.measures(answers, wish)))

    def _serving(self, use: str) -> States:
        serves = self._column(lambda bike: float(use == ANY or use in bike.uses), "use", use)
        return _states(serves, _holds)

    def _others(self, asked: Asked) -> list[tuple[str, States]]:
        answers = asked.answers
        found: list[tuple[str, States]] = []
        if asked.budget is not None:
            prices = self._prices()  # one without a price is set apart
            found.append(("budget", np.where(prices > asked.budget, MISSED, MET).astype(np.int8)))
        found.append(("reach", _states(self._distances(asked), lambda reach: reach >= asked.trip)))
        found.append(("mass", self._allowed(asked)))
        if asked.load >= FROM_RACKS:
            racks = self._column(asked.racks, "racks", answers.load)
            found.append(("racks", _states(racks, lambda rated: rated >= asked.load)))
        if answers.law != ELSEWHERE:
            found += self._lawful(asked)
        if answers.stairs == "daily":
            found.append(("lift", _states(self._masses(), lambda mass: mass <= LIFT)))
        return found

    def _allowed(self, asked: Asked) -> States:
        """Is the whole within the permitted mass?"""
        given = _given(asked.answers, ("work", "load"))
        together = self._column(asked.total, "total", *given)
        permitted = self._column(lambda bike: bike.permitted, "permitted")
        return _states(permitted - together, lambda room: permitted >= together)

    def _lawful(self, asked: Asked) -> list[tuple[str, States]]:
        """An ordinary bicycle in the reader's region, or one that is let in and marked as faster."""
        region = asked.region
        ordinary = self._column(
            lambda bike: (
                None
                if bike.law[region.id] == "unknown"
                else float(bike.law[region.id] in region.ordinary)
            ),
            "law",
            region.id,
        )
        known = _states(ordinary, _holds)
        if asked.answers.fast == "no":
            return [("law", known)]
        return [
            ("law", np.where(known == MISSED, MET, known)),
            ("fast", np.where(known == MISSED, UNKNOWN, MET)),
        ]

    def _measured(self, answers: Answers, wish: Wish) -> Column:
        asked = Asked(self._chooser, answers)
        if wish.id == "reach":
            return self._distances(asked) / asked.trip
        if wish.id == "climb":
            given = _given(answers, ("work", "load"))
            return self._column(asked.grade, "grade", *given) / asked.road.grade
        if wish.id == "cost":
            return self._prices() / float(answers.budget)
        if wish.figure == "spec.mass":
            return self._masses()
        return self._column(
            lambda bike: bike.figures[wish.figure][0] if wish.figure in bike.figures else None,
            "figure",
            wish.figure,
        )

    def _distances(self, asked: Asked) -> Column:
        given = _given(asked.answers, ("work", "hills", "load"))
        return self._column(asked.distance, "distance", *given)

    def _prices(self) -> Column:
        return self._column(lambda bike: bike.price, "price")

    def _masses(self) -> Column:
        return self._column(lambda bike: bike.mass, "mass")

    def _column(self, of: Callable[[Candidate], float | None], *key: str) -> Column:
        def made() -> Column:
            values = [of(bike) for bike in self._chooser.bikes]
            return np.array([np.nan if each is None else each for each in values], dtype=float)

        return self._made(("column", *key), made)

    def _made(self, key: tuple[str, ...], make: Callable[[], Column]) -> Column:
        if key not in self._kept:
            self._kept[key] = make()
        return self._kept[key]


def fit(wish: Wish, values: ArrayLike) -> Column:
    """Along straight lines between the knots, flat outside them; 0 where a value is not known."""
    values = np.asarray(values, dtype=float)
    knots = wish.knots
    found = np.full(values.shape, knots[-1][1])
    for (x0, y0), (x1, y1) in reversed(list(pairwise(knots))):
        found = np.where(values <= x1, y0 + (y1 - y0) * (values - x0) / (x1 - x0), found)
    found = np.where(values <= knots[0][0], knots[0][1], found)
    return np.where(np.isnan(values), 0.0, found)


def _holds(values: Column) -> NDArray[np.bool_]:
    """Of a question that is answered with 1 or 0."""
    return values > 0.0


def _given(answers: Answers, questions: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(getattr(answers, each) for each in questions)


def _states(values: Column, met: Callable[[Column], NDArray[np.bool_]]) -> States:
    """UNKNOWN where a value is not known."""
    return np.where(np.isnan(values), UNKNOWN, np.where(met(values), MET, MISSED)).astype(np.int8)
