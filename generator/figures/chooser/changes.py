"""The chooser's questions, and single changes of an answer that would put another bike first.

* list_questions   every question with its answers
* find_changes     the changes that matter, found by ranking again
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from generator.figures import show, units
from generator.figures.chooser.model import ANY, ELSEWHERE, Candidate, Chooser, ChooserAnswers
from generator.figures.chooser.ranking import UNRANKED, BikeRanker
from generator.figures.chooser.rule import CLOSE_SCORE, FEEL, LOADS, STAIRS, TRIPS

MORE_BUDGET = (1.1, 1.25, 1.5)
"""Factors of the larger budgets to try, smallest first."""
BUDGET_STEP = 50
"""Step that larger budgets are rounded up to. [money]"""
TRIED = ("budget", "hills", "load", "trip", "work", "feel", "stairs", "fast")
"""Ids of the questions whose other answers are tried, one at a time."""


@dataclass(frozen=True)
class AnswerChoice:
    """One answer on offer to a question."""

    id: str
    words: str
    change: str
    """The beginning of a sentence about having chosen it, such as `with stairs every day`; empty if it is not tried."""
    note: str = ""
    """An explanation for readers who cannot place the numbers."""


@dataclass(frozen=True)
class ChooserQuestion:
    """One question of the chooser."""

    id: str
    words: str
    hint: str
    answers: tuple[AnswerChoice, ...]
    """Empty for the budget, which is a number."""


@dataclass(frozen=True)
class AnswerChange:
    """One answer changed, and which bike then comes first."""

    words: str
    answers: ChooserAnswers
    bike: Candidate


def list_questions(chooser: Chooser) -> tuple[ChooserQuestion, ...]:
    """Every question in order, with its answers."""
    trips = [(km, show.format_in_both_systems(km * 1000.0, units.DISTANCE)) for km in TRIPS]
    return (
        ChooserQuestion(
            "use",
            "What is it for?",
            "",
            (
                AnswerChoice(ANY, "Anything", ""),
                *(AnswerChoice(use, use.capitalize(), "") for use in chooser.uses),
            ),
        ),
        ChooserQuestion(
            "trip",
            "How long are your trips, there and back?",
            "",
            tuple(AnswerChoice(str(km), words, f"with trips of {words}") for km, words in trips),
        ),
        ChooserQuestion(
            "hills",
            "How hilly is your road?",
            "Choose the road that is most like yours.",
            tuple(
                AnswerChoice(
                    road.id,
                    f"{road.name[0].upper()}{road.name[1:]}: up to {show.format_in_both_systems(road.grade, units.GRADE)}",
                    f"on roads like {road.name}",
                )
                for road in chooser.routes
            ),
        ),
        ChooserQuestion(
            "load",
            "What do you carry?",
            "",
            tuple(
                AnswerChoice(
                    each.id,
                    f"{each.words}, {show.format_in_both_systems(chooser.loads[each.id], units.MASS)}",
                    each.change,
                )
                for each in LOADS
            ),
        ),
        ChooserQuestion(
            "work",
            "How much do you want to work?",
            "Choose the rider most like you; the mass counts too.",
            tuple(
                AnswerChoice(
                    person.id,
                    f"Like {person.name}: {show.format_in_both_systems(person.power, units.POWER)} at the pedals, "
                    f"{show.format_in_both_systems(person.mass, units.MASS)}",
                    f"with the legs of {person.name}",
                    person.summary,
                )
                for person in chooser.riders
            ),
        ),
        ChooserQuestion(
            "budget",
            f"How much money at most, in {chooser.currency}?",
            "Leave it empty for no limit.",
            (),
        ),
        ChooserQuestion(
            "law",
            "Where do you live?",
            "",
            (
                *(AnswerChoice(region.id, region.name, "") for region in chooser.regions),
                AnswerChoice(ELSEWHERE, "Elsewhere, or do not ask", ""),
            ),
        ),
        ChooserQuestion(
            "fast",
            "Also show bikes that the law there may treat as something faster or stronger?",
            "They may need a plate, insurance, a licence or a helmet, and be barred from cycle paths.",
            (
                AnswerChoice("no", "No", ""),
                AnswerChoice("yes", "Yes", "with faster and stronger legal categories as well"),
            ),
        ),
        ChooserQuestion(
            "feel",
            "How should it feel?",
            "",
            tuple(AnswerChoice(*each) for each in FEEL),
        ),
        ChooserQuestion(
            "stairs",
            "Must it be carried up stairs?",
            "",
            tuple(AnswerChoice(*each) for each in STAIRS),
        ),
    )


def find_changes(ranker: BikeRanker, answers: ChooserAnswers) -> list[AnswerChange]:
    """For each question the nearest other answer that puts another bike clearly first, if there is one."""
    chooser = ranker.chooser
    first = _find_first(ranker.score_bikes(answers))
    found = []
    asked = {question.id: question for question in list_questions(chooser)}
    for id in TRIED:
        for words, other in _vary_answer(asked[id], answers, chooser.currency):
            scores = ranker.score_bikes(other)
            best = _find_first(scores)
            if best is None or best == first:
                continue
            if (
                first is None
                or scores[first] == UNRANKED
                or scores[best] - scores[first] >= CLOSE_SCORE
            ):
                found.append(AnswerChange(words, other, chooser.bikes[best]))
                break
    return found


def _find_first(scores: NDArray[np.int64]) -> int | None:
    """Index of the bike with the highest score, the first of equals; None if none is ranked."""
    if not (scores != UNRANKED).any():
        return None
    return int(scores.argmax())


def _vary_answer(
    question: ChooserQuestion, answers: ChooserAnswers, currency: str
) -> Iterator[tuple[str, ChooserAnswers]]:
    """The sentence part and the answers for each other answer to one question, nearest first."""
    given = getattr(answers, question.id)
    if question.id == "budget":
        if given:
            for factor in MORE_BUDGET:
                more = math.ceil(int(given) * factor / BUDGET_STEP) * BUDGET_STEP
                yield (
                    f"with {more - int(given)} {currency} more",
                    replace(answers, budget=str(more)),
                )
        return
    if question.id == "fast" and answers.law == ELSEWHERE:
        return
    place = next((at for at, each in enumerate(question.answers) if each.id == given), 0)
    ordered = sorted(enumerate(question.answers), key=lambda one: (abs(one[0] - place), one[0]))
    for _, each in ordered:
        if each.id != given and each.change:
            yield each.change, replace_answer(answers, question.id, each.id)


def replace_answer(answers: ChooserAnswers, question: str, answer: str) -> ChooserAnswers:
    """`answers` with another answer to one question, not for the weights."""
    changed: dict[str, Any] = {question: answer}
    return replace(answers, **changed)
