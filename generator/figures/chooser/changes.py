"""What is asked, and what would change the answer: the same rule again with one answer changed."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from generator.figures import show, units
from generator.figures.chooser.model import ANY, ELSEWHERE, Answers, Candidate, Chooser
from generator.figures.chooser.ranking import OUT, Rule
from generator.figures.chooser.rule import CLOSE, FEEL, LOADS, STAIRS, TRIPS

MORE_BUDGET = (1.1, 1.25, 1.5)
"""Larger budgets that are tried, smallest first."""
BUDGET_STEP = 50
"""They are rounded up to this. [money]"""
TRIED = ("budget", "hills", "load", "trip", "work", "feel", "stairs", "fast")
"""Questions of which other answers are tried, one at a time."""


@dataclass(frozen=True)
class Answer:
    id: str
    words: str
    change: str
    """With this answer instead, in words that begin a sentence; empty when it is not tried."""
    note: str = ""
    """What it means, for a reader to whom its numbers say nothing."""


@dataclass(frozen=True)
class Question:
    id: str
    words: str
    hint: str
    answers: tuple[Answer, ...]
    """Empty for the budget, which is a number."""


@dataclass(frozen=True)
class Change:
    """One answer changed, and which bike then comes first."""

    words: str
    answers: Answers
    bike: Candidate


def questions(chooser: Chooser) -> tuple[Question, ...]:
    """What is asked, in order, with every answer."""
    trips = [(km, show.in_both(km * 1000.0, units.DISTANCE)) for km in TRIPS]
    return (
        Question(
            "use",
            "What is it for?",
            "",
            (
                Answer(ANY, "Anything", ""),
                *(Answer(use, use.capitalize(), "") for use in chooser.uses),
            ),
        ),
        Question(
            "trip",
            "How long are your trips, there and back?",
            "",
            tuple(Answer(str(km), words, f"with trips of {words}") for km, words in trips),
        ),
        Question(
            "hills",
            "How hilly is your road?",
            "Choose the road that is most like yours.",
            tuple(
                Answer(
                    road.id,
                    f"{road.name[0].upper()}{road.name[1:]}: up to {show.in_both(road.grade, units.GRADE)}",
                    f"on roads like {road.name}",
                )
                for road in chooser.roads
            ),
        ),
        Question(
            "load",
            "What do you carry?",
            "",
            tuple(
                Answer(
                    each.id,
                    f"{each.words}, {show.in_both(chooser.loads[each.id], units.MASS)}",
                    each.change,
                )
                for each in LOADS
            ),
        ),
        Question(
            "work",
            "How much do you want to work?",
            "Choose the rider most like you; the mass counts too.",
            tuple(
                Answer(
                    person.id,
                    f"Like {person.name}: {show.in_both(person.power, units.POWER)} at the pedals, "
                    f"{show.in_both(person.mass, units.MASS)}",
                    f"with the legs of {person.name}",
                    person.summary,
                )
                for person in chooser.people
            ),
        ),
        Question(
            "budget",
            f"How much money at most, in {chooser.currency}?",
            "Leave it empty for no limit.",
            (),
        ),
        Question(
            "law",
            "Where do you live?",
            "",
            (
                *(Answer(region.id, region.name, "") for region in chooser.regions),
                Answer(ELSEWHERE, "Elsewhere, or do not ask", ""),
            ),
        ),
        Question(
            "fast",
            "Also show bikes that the law there may treat as something faster or stronger?",
            "They may need a plate, insurance, a licence or a helmet, and be barred from cycle paths.",
            (
                Answer("no", "No", ""),
                Answer("yes", "Yes", "with faster and stronger legal categories as well"),
            ),
        ),
        Question(
            "feel",
            "How should it feel?",
            "",
            tuple(Answer(*each) for each in FEEL),
        ),
        Question(
            "stairs",
            "Must it be carried up stairs?",
            "",
            tuple(Answer(*each) for each in STAIRS),
        ),
    )


def changes(rule: Rule, answers: Answers) -> list[Change]:
    """For each question the nearest other answer that puts another bike clearly first, if there is one."""
    chooser = rule.chooser
    first = _first(rule.scores(answers))
    found = []
    asked = {question.id: question for question in questions(chooser)}
    for id in TRIED:
        for words, other in _others(asked[id], answers, chooser.currency):
            scores = rule.scores(other)
            best = _first(scores)
            if best is None or best == first:
                continue
            if first is None or scores[first] == OUT or scores[best] - scores[first] >= CLOSE:
                found.append(Change(words, other, chooser.bikes[best]))
                break
    return found


def _first(scores: NDArray[np.int64]) -> int | None:
    """Place of the best of all bikes; of equals the first. None where none is ranked."""
    if not (scores != OUT).any():
        return None
    return int(scores.argmax())


def _others(question: Question, answers: Answers, currency: str) -> Iterator[tuple[str, Answers]]:
    """Other answers to one question, the nearest first, in words."""
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
            yield each.change, given_instead(answers, question.id, each.id)


def given_instead(answers: Answers, question: str, answer: str) -> Answers:
    """The same answers but one; `question` is not the weights."""
    changed: dict[str, Any] = {question: answer}
    return replace(answers, **changed)
