"""Answers as the address bar keeps them: only what differs from the usual, in a fixed order."""

from dataclasses import fields
from urllib.parse import urlencode

from generator.figures.chooser.model import Answers, Chooser
from generator.figures.chooser.wishes import WISHES


def keys() -> tuple[str, ...]:
    """Names of the questions, as in `Answers` and in an address."""
    return tuple(each.name for each in fields(Answers) if each.name != "weights")


def query(chooser: Chooser, answers: Answers) -> str:
    """Such as `?use=city&budget=2500&w=reach4.cost0`; empty for the usual answers."""
    pairs = [
        (id, getattr(answers, id))
        for id in keys()
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
