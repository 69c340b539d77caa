"""Which bikes fit a reader's answers: must-haves first, then weighted wishes. `choosing_tables.py` holds the rule as data.

`Rule` is the whole rule, over `choosing_columns`, which hold what is put to the bikes. The browser has the same in
templates/scripts/choose_rank.js, over the same tables; a test holds the two together. Only stated facts and figures go in,
and the order of the bikes in the sources does not matter.
"""

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from generator.figures.chooser.columns import MISSED, UNKNOWN, Columns, States
from generator.figures.chooser.model import Answers, Chooser, Fit, Place, Ranking
from generator.figures.chooser.rule import CLOSE
from generator.figures.chooser.wishes import WISHES, Wish

OUT = -1
"""In place of a score: left out, or set apart."""


class Rule:
    """The rule before the bikes of a chooser; what answers have in common is worked out once."""

    def __init__(self, chooser: Chooser) -> None:
        self.chooser = chooser
        self._columns = Columns(chooser)

    def scores(self, answers: Answers) -> NDArray[np.int64]:
        """Of 1000, in the order of `chooser.bikes`; OUT for those that are not ranked."""
        return self._scores(answers, self._columns.musts(answers))

    def _scores(self, answers: Answers, asked: list[tuple[str, States]]) -> NDArray[np.int64]:
        missed = [states == MISSED for _, states in asked]
        out = np.logical_or.reduce([*missed, self._columns.apart(answers)])
        return np.where(out, OUT, self._weighed(answers))

    def rank(self, answers: Answers) -> Ranking:
        """Must-haves, then the weighted mean of the fits; equal scores keep the order of `chooser.bikes`."""
        bikes = self.chooser.bikes
        asked = self._columns.musts(answers)
        scores = self._scores(answers, asked)
        missed = _named(asked, MISSED)
        doubts = _named(asked, UNKNOWN)
        order = np.argsort(-scores, kind="stable")
        order = order[scores[order] != OUT]
        ranked = scores[order].tolist()
        close = [before - score < CLOSE for before, score in pairwise(ranked)]
        places = tuple(
            Place(bikes[at], score, fits, doubts.get(at, ()), near)
            for at, score, fits, near in zip(
                order.tolist(), ranked, self._fits(answers, order), [False, *close], strict=False
            )
        )
        apart = tuple(
            (bikes[at], "currency" if bikes[at].currency else "unpriced")
            for at in np.flatnonzero(self._columns.apart(answers)).tolist()
            if at not in missed
        )
        return Ranking(places, apart, tuple((bikes[at], missed[at]) for at in sorted(missed)))

    def _weighed(self, answers: Answers) -> NDArray[np.int64]:
        weights = 0
        gained = np.zeros(len(self.chooser.bikes))
        for wish, weight in wishes(self.chooser, answers):  # one after the other, as the browser
            weights += weight
            gained = gained + weight * self._columns.fits(answers, wish)
        if not weights:
            return np.zeros(len(gained), dtype=np.int64)
        return np.floor(1000.0 * gained / weights + 0.5).astype(np.int64)

    def _fits(self, answers: Answers, order: NDArray[np.intp]) -> Iterator[tuple[Fit, ...]]:
        """Of the bikes at these places, how far each meets the wishes."""
        found = []
        for wish, weight in wishes(self.chooser, answers):
            measures = self._columns.measures(answers, wish)[order].tolist()
            fits = self._columns.fits(answers, wish)[order].tolist()
            found.append(
                [
                    Fit(wish, None if math.isnan(measure) else measure, each, weight)
                    for measure, each in zip(measures, fits, strict=True)
                ]
            )
        return zip(*found, strict=True) if found else iter([()] * len(order))


def _named(asked: list[tuple[str, States]], which: int) -> dict[int, tuple[str, ...]]:
    """By place of a bike: the must-haves to which it stands so, in order; nothing of a bike with none."""
    found: dict[int, tuple[str, ...]] = {}
    for id, states in asked:
        for at in np.flatnonzero(states == which).tolist():
            found[at] = (*found.get(at, ()), id)
    return found


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
