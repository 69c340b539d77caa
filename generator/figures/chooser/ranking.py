"""Ranking of bikes by a reader's answers: must-haves first, then weighted wishes. `rule.py` holds the rule as data.

The browser ranks with templates/scripts/choose_rank.js over the same tables; a test compares the two. Only stated facts
and figures count, and the order of the bikes in the sources does not matter.

* BikeRanker      ranks the bikes of one chooser
* select_wishes   the wishes that some answers call for
"""

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from generator.figures.chooser.columns import MISSED, UNKNOWN, BikeColumns, States
from generator.figures.chooser.model import Chooser, ChooserAnswers, RankedBike, Ranking, WishFit
from generator.figures.chooser.rule import CLOSE_SCORE
from generator.figures.chooser.wishes import WISHES, Wish

UNRANKED = -1
"""In place of the score of a bike that is left out or set apart."""


class BikeRanker:
    """Ranks the bikes of one chooser; what several answers have in common is computed once."""

    def __init__(self, chooser: Chooser) -> None:
        self.chooser = chooser
        self._columns = BikeColumns(chooser)

    def score_bikes(self, answers: ChooserAnswers) -> NDArray[np.int64]:
        """Scores from 0 to 1000 in the order of `chooser.bikes`; `UNRANKED` for bikes that are not ranked."""
        return self._combine_scores(answers, self._columns.judge_musts(answers))

    def _combine_scores(
        self, answers: ChooserAnswers, asked: list[tuple[str, States]]
    ) -> NDArray[np.int64]:
        missed = [states == MISSED for _, states in asked]
        out = np.logical_or.reduce([*missed, self._columns.find_set_apart(answers)])
        return np.where(out, UNRANKED, self._weigh_wishes(answers))

    def rank_bikes(self, answers: ChooserAnswers) -> Ranking:
        """The ranking by must-haves and the weighted mean of the fits; equal scores keep the order of `chooser.bikes`."""
        bikes = self.chooser.bikes
        asked = self._columns.judge_musts(answers)
        scores = self._combine_scores(answers, asked)
        missed = _list_musts_by_bike(asked, MISSED)
        doubts = _list_musts_by_bike(asked, UNKNOWN)
        order = np.argsort(-scores, kind="stable")
        order = order[scores[order] != UNRANKED]
        ranked = scores[order].tolist()
        close = [before - score < CLOSE_SCORE for before, score in pairwise(ranked)]
        places = tuple(
            RankedBike(bikes[at], score, fits, doubts.get(at, ()), near)
            for at, score, fits, near in zip(
                order.tolist(),
                ranked,
                self._collect_fits(answers, order),
                [False, *close],
                strict=False,
            )
        )
        apart = tuple(
            (bikes[at], "currency" if bikes[at].currency else "unpriced")
            for at in np.flatnonzero(self._columns.find_set_apart(answers)).tolist()
            if at not in missed
        )
        return Ranking(places, apart, tuple((bikes[at], missed[at]) for at in sorted(missed)))

    def _weigh_wishes(self, answers: ChooserAnswers) -> NDArray[np.int64]:
        weights = 0
        gained = np.zeros(len(self.chooser.bikes))
        for wish, weight in select_wishes(self.chooser, answers):
            # in the browser's order, for the same sums to the last digit
            weights += weight
            gained = gained + weight * self._columns.rate_wish(answers, wish)
        if not weights:
            return np.zeros(len(gained), dtype=np.int64)
        return np.floor(1000.0 * gained / weights + 0.5).astype(np.int64)

    def _collect_fits(
        self, answers: ChooserAnswers, order: NDArray[np.intp]
    ) -> Iterator[tuple[WishFit, ...]]:
        """Fits of each bike whose index is in `order`."""
        found = []
        for wish, weight in select_wishes(self.chooser, answers):
            measures = self._columns.measure_wish(answers, wish)[order].tolist()
            fits = self._columns.rate_wish(answers, wish)[order].tolist()
            found.append(
                [
                    WishFit(wish, None if math.isnan(measure) else measure, each, weight)
                    for measure, each in zip(measures, fits, strict=True)
                ]
            )
        return zip(*found, strict=True) if found else iter([()] * len(order))


def _list_musts_by_bike(asked: list[tuple[str, States]], which: int) -> dict[int, tuple[str, ...]]:
    """Ids of the must-haves for which a bike has the state `which`, by index of the bike; bikes with none are left out."""
    found: dict[int, tuple[str, ...]] = {}
    for id, states in asked:
        for at in np.flatnonzero(states == which).tolist():
            found[at] = (*found.get(at, ()), id)
    return found


def select_wishes(chooser: Chooser, answers: ChooserAnswers) -> list[tuple[Wish, int]]:
    """The wishes that these answers call for, with their weights."""
    return [
        (wish, answers.weights.get(wish.id, wish.weight))
        for wish in WISHES
        if _is_called_for(chooser, answers, wish.id)
    ]


def _is_called_for(chooser: Chooser, answers: ChooserAnswers, wish: str) -> bool:
    if wish not in chooser.conditions:
        return True
    question, wanted = chooser.conditions[wish]
    answer = getattr(answers, question)
    return answer != "" if wanted == ("*",) else answer in wanted
