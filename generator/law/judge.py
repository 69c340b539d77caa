"""Which rules apply on a day, and the category of a bike under each."""

from datetime import date

from generator.law import america, asia_pacific, europe
from generator.law.conditions import all_of
from generator.law.model import INPUT_WORDS, LegalInputs, LegalRule, RuleResult

RULES: tuple[LegalRule, ...] = (*america.RULES, *europe.RULES, *asia_pacific.RULES)
"""Every rule, including those no longer in force."""

NOTICE = (
    "Worked out from the figures given, not legal advice. Local law decides where and by whom a"
    " bike may be ridden, and it changes. Altering a bike's speed or power changes its category,"
    " and may void its approval, insurance and warranty."
)
"""Notice to show beside every result."""


def is_in_force(rule: LegalRule, on_date: date) -> bool:
    """Is the rule in force on a day? A rule without a known first day counts as in force."""
    begun = rule.valid_from is None or rule.valid_from <= on_date
    return begun and (rule.valid_to is None or on_date <= rule.valid_to)


def apply_rule(rule: LegalRule, inputs: LegalInputs) -> RuleResult:
    """The category of a bike under one rule.

    Categories are tried in order. A category that a missing figure leaves open makes the result
    unknown, because the bike might fall in it.
    """
    for category in rule.categories:
        holds, missing = all_of(*category.conditions)(inputs)
        if holds is None:
            return _make_result(rule, "unknown", missing)
        if holds:
            return _make_result(rule, category.name, ())
    return _make_result(rule, rule.otherwise, ())


def apply_rules(inputs: LegalInputs, on_date: date) -> tuple[RuleResult, ...]:
    """The category of a bike under each rule in force on a day."""
    return tuple(apply_rule(rule, inputs) for rule in RULES if is_in_force(rule, on_date))


def _make_result(rule: LegalRule, category: str, missing: tuple[str, ...]) -> RuleResult:
    if category == "unknown":
        gaps = "; ".join(INPUT_WORDS[name] for name in missing)
        words = f"the figures given do not tell; not given: {gaps}"
    elif category == "none":
        words = "on the figures given, this would fall in none of these categories"
    else:
        words = f"on the figures given, this would fall in “{category}”"
    return RuleResult(rule=rule, category=category, missing=missing, words=words)
