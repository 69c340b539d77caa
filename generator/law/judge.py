"""Which rules apply on a day, and where a bike would fall under each."""

from datetime import date

from generator.law import america, asia_pacific, europe
from generator.law.conditions import every
from generator.law.model import INPUT_WORDS, Inputs, Result, Rule

RULES: tuple[Rule, ...] = (*america.RULES, *europe.RULES, *asia_pacific.RULES)
"""Every rule, those no longer in force included."""

NOTICE = (
    "Worked out from the figures given, not legal advice. Local law decides where and by whom a"
    " bike may be ridden, and it changes. Altering a bike's speed or power changes its category,"
    " and may void its approval, insurance and warranty."
)
"""To be shown wherever results are."""


def applies(rule: Rule, on_date: date) -> bool:
    """Is the rule in force on a day? One whose first day was not looked up counts as in force."""
    begun = rule.valid_from is None or rule.valid_from <= on_date
    return begun and (rule.valid_to is None or on_date <= rule.valid_to)


def judge(rule: Rule, inputs: Inputs) -> Result:
    """Return where a bike would fall under one rule.

    Categories are tried in order. One that a missing figure leaves open makes the whole result
    unknown, because the bike might fall in it.
    """
    for category in rule.categories:
        holds, missing = every(*category.conditions)(inputs)
        if holds is None:
            return _result(rule, "unknown", missing)
        if holds:
            return _result(rule, category.name, ())
    return _result(rule, rule.otherwise, ())


def judge_all(inputs: Inputs, on_date: date) -> tuple[Result, ...]:
    """Return where a bike would fall under each rule in force on a day."""
    return tuple(judge(rule, inputs) for rule in RULES if applies(rule, on_date))


def _result(rule: Rule, category: str, missing: tuple[str, ...]) -> Result:
    if category == "unknown":
        gaps = "; ".join(INPUT_WORDS[name] for name in missing)
        words = f"the figures given do not tell; not given: {gaps}"
    elif category == "none":
        words = "on the figures given, this would fall in none of these categories"
    else:
        words = f"on the figures given, this would fall in “{category}”"
    return Result(rule=rule, category=category, missing=missing, words=words)
