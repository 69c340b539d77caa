"""Answers as the query of an address: only those that differ from the usual ones, in a fixed order."""

from dataclasses import fields
from urllib.parse import urlencode

from generator.figures.chooser.model import Chooser, ChooserAnswers
from generator.figures.chooser.wishes import WISHES


def list_question_ids() -> tuple[str, ...]:
    """Names of the questions, as in `ChooserAnswers` and in an address."""
    return tuple(each.name for each in fields(ChooserAnswers) if each.name != "weights")


def format_query(chooser: Chooser, answers: ChooserAnswers) -> str:
    """The query, such as `?use=city&budget=2500&w=reach4.cost0`; empty for the usual answers."""
    pairs = [
        (id, getattr(answers, id))
        for id in list_question_ids()
        if getattr(answers, id) != getattr(chooser.usual, id)
    ]
    weights = [
        f"{wish.id}{answers.weights[wish.id]}"
        for wish in WISHES
        if answers.weights.get(wish.id, wish.weight) != wish.weight
    ]
    if weights:
        pairs.append(("w", ".".join(weights)))
    return "?" + urlencode(pairs) if pairs else ""
