"""Must-haves and wishes computed for all bikes at once, as columns in the order of `Chooser.bikes`.

A column depends on few of the answers and is cached by those, so rankings that differ in other answers share it.

* BikeColumns       the columns of one chooser
* interpolate_fit   how far measures meet a wish
"""

from collections.abc import Callable
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from generator.figures.chooser.answers import ResolvedAnswers
from generator.figures.chooser.model import ANY, ELSEWHERE, Candidate, Chooser, ChooserAnswers
from generator.figures.chooser.rule import LIFT_LIMIT, RACK_LOAD
from generator.figures.chooser.wishes import Wish

MISSED, MET, UNKNOWN = 0, 1, 2
"""States of a bike for a must-have."""

Column = NDArray[np.float64]
"""One value per bike, SI; NaN means not known."""
States = NDArray[np.int8]

_WISH_QUESTIONS = {
    "reach": ("work", "hills", "load", "trip"),
    "climb": ("work", "hills", "load"),
    "cost": ("budget",),
}
"""Questions whose answers change the measure of a wish, by the wish's id; a wish not listed depends on none."""


class BikeColumns:
    """The columns of one chooser, each computed once."""

    def __init__(self, chooser: Chooser) -> None:
        self._chooser = chooser
        self._cache: dict[tuple[str, ...], Column] = {}

    def judge_musts(self, answers: ChooserAnswers) -> list[tuple[str, States]]:
        """Id of each must-have that these answers call for, and the state of every bike.

        A bike for another use misses only `use`, and a withdrawn one only `sale`.
        """
        resolved = ResolvedAnswers(self._chooser, answers)
        serves = self._judge_use(answers.use)
        offered = _judge_values(
            self._build_column(lambda bike: float(bike.status != "withdrawn"), "sale"), _is_yes
        )
        found = [("use", serves), ("sale", np.where(serves == MET, offered, MET))]
        for id, states in self._judge_other_musts(resolved):
            found.append((id, np.where((serves == MET) & (offered == MET), states, MET)))
        return found

    def find_set_apart(self, answers: ChooserAnswers) -> NDArray[np.bool_]:
        """Whether each bike lacks a price to compare with the budget; False for all without a budget."""
        prices = self._price_column()
        return np.isnan(prices) if answers.budget else np.zeros(len(prices), dtype=bool)

    def measure_wish(self, answers: ChooserAnswers, wish: Wish) -> Column:
        """The measure of a wish for each bike. SI"""
        given = _select_answers(answers, _WISH_QUESTIONS.get(wish.id, ()))
        return self._get_cached(
            ("measure", wish.id, *given), lambda: self._compute_measure(answers, wish)
        )

    def rate_wish(self, answers: ChooserAnswers, wish: Wish) -> Column:
        """How far each bike meets a wish, 0 to 1; 0 where its measure is not known."""
        given = _select_answers(answers, _WISH_QUESTIONS.get(wish.id, ()))
        return self._get_cached(
            ("fit", wish.id, *given),
            lambda: interpolate_fit(wish, self.measure_wish(answers, wish)),
        )

    def _judge_use(self, use: str) -> States:
        serves = self._build_column(lambda bike: float(use == ANY or use in bike.uses), "use", use)
        return _judge_values(serves, _is_yes)

    def _judge_other_musts(self, resolved: ResolvedAnswers) -> list[tuple[str, States]]:
        answers = resolved.answers
        found: list[tuple[str, States]] = []
        if resolved.budget is not None:
            prices = self._price_column()  # one without a price is set apart
            found.append(
                ("budget", np.where(prices > resolved.budget, MISSED, MET).astype(np.int8))
            )
        found.append(
            (
                "reach",
                _judge_values(self._range_column(resolved), lambda reach: reach >= resolved.trip),
            )
        )
        found.append(("mass", self._judge_total_mass(resolved)))
        if resolved.load >= RACK_LOAD:
            racks = self._build_column(resolved.find_rack_load, "racks", answers.load)
            found.append(("racks", _judge_values(racks, lambda rated: rated >= resolved.load)))
        if answers.law != ELSEWHERE:
            found += self._judge_law(resolved)
        if answers.stairs == "daily":
            found.append(
                ("lift", _judge_values(self._mass_column(), lambda mass: mass <= LIFT_LIMIT))
            )
        return found

    def _judge_total_mass(self, resolved: ResolvedAnswers) -> States:
        """Whether bike, rider and load are within the permitted mass."""
        given = _select_answers(resolved.answers, ("work", "load"))
        together = self._build_column(resolved.add_masses, "total", *given)
        permitted = self._build_column(lambda bike: bike.permitted, "permitted")
        return _judge_values(permitted - together, lambda room: permitted >= together)

    def _judge_law(self, resolved: ResolvedAnswers) -> list[tuple[str, States]]:
        """Whether each bike is an ordinary bicycle in the reader's region; faster ones pass with a warning if asked for."""
        region = resolved.region
        ordinary = self._build_column(
            lambda bike: (
                None
                if bike.law[region.id] == "unknown"
                else float(bike.law[region.id] in region.ordinary)
            ),
            "law",
            region.id,
        )
        known = _judge_values(ordinary, _is_yes)
        if resolved.answers.fast == "no":
            return [("law", known)]
        return [
            ("law", np.where(known == MISSED, MET, known)),
            ("fast", np.where(known == MISSED, UNKNOWN, MET)),
        ]

    def _compute_measure(self, answers: ChooserAnswers, wish: Wish) -> Column:
        resolved = ResolvedAnswers(self._chooser, answers)
        if wish.id == "reach":
            return self._range_column(resolved) / resolved.trip
        if wish.id == "climb":
            given = _select_answers(answers, ("work", "load"))
            return self._build_column(resolved.find_grade, "grade", *given) / resolved.route.grade
        if wish.id == "cost":
            return self._price_column() / float(answers.budget)
        if wish.figure == "spec.mass":
            return self._mass_column()
        return self._build_column(
            lambda bike: bike.figures[wish.figure][0] if wish.figure in bike.figures else None,
            "figure",
            wish.figure,
        )

    def _range_column(self, resolved: ResolvedAnswers) -> Column:
        given = _select_answers(resolved.answers, ("work", "hills", "load"))
        return self._build_column(resolved.find_range, "distance", *given)

    def _price_column(self) -> Column:
        return self._build_column(lambda bike: bike.price, "price")

    def _mass_column(self) -> Column:
        return self._build_column(lambda bike: bike.mass, "mass")

    def _build_column(self, of: Callable[[Candidate], float | None], *key: str) -> Column:
        def build() -> Column:
            values = [of(bike) for bike in self._chooser.bikes]
            return np.array([np.nan if each is None else each for each in values], dtype=float)

        return self._get_cached(("column", *key), build)

    def _get_cached(self, key: tuple[str, ...], make: Callable[[], Column]) -> Column:
        if key not in self._cache:
            self._cache[key] = make()
        return self._cache[key]


def interpolate_fit(wish: Wish, values: ArrayLike) -> Column:
    """Fit of a wish for some measures, 0 to 1, by straight lines between the knots; 0 where a measure is not known."""
    values = np.asarray(values, dtype=float)
    knots = wish.knots
    found = np.full(values.shape, knots[-1][1])
    for (x0, y0), (x1, y1) in reversed(list(pairwise(knots))):
        found = np.where(values <= x1, y0 + (y1 - y0) * (values - x0) / (x1 - x0), found)
    found = np.where(values <= knots[0][0], knots[0][1], found)
    return np.where(np.isnan(values), 0.0, found)


def _is_yes(values: Column) -> NDArray[np.bool_]:
    """Whether each value of a yes-or-no column (1 or 0) is yes."""
    return values > 0.0


def _select_answers(answers: ChooserAnswers, questions: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(getattr(answers, each) for each in questions)


def _judge_values(values: Column, met: Callable[[Column], NDArray[np.bool_]]) -> States:
    """State of each value: `MET` or `MISSED` by the test `met`, `UNKNOWN` for NaN."""
    return np.where(np.isnan(values), UNKNOWN, np.where(met(values), MET, MISSED)).astype(np.int8)
