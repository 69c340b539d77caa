"""Conditions that rules are built from. A missing figure leaves a condition open and never meets it."""

from generator.law.model import Condition, ConditionAnswer, LegalInputs

KMH = 1 / 3.6
"""One kilometre per hour. [m/s]"""

MPH = 0.44704
"""One mile per hour. [m/s]  Exact by definition."""

TOLERANCE = 0.2 * KMH
"""Difference within which a stated speed counts as the limit, so that 25 km/h passes 15.5 mph. [m/s]"""


def is_true(name: str) -> Condition:
    """The figure `name` is stated and true."""

    def condition(inputs: LegalInputs) -> ConditionAnswer:
        value = getattr(inputs, name)
        return ConditionAnswer(None, (name,)) if value is None else ConditionAnswer(bool(value))

    return condition


def one_of(name: str, *allowed: object) -> Condition:
    """The figure `name` is one of `allowed`."""

    def condition(inputs: LegalInputs) -> ConditionAnswer:
        value = getattr(inputs, name)
        return (
            ConditionAnswer(None, (name,)) if value is None else ConditionAnswer(value in allowed)
        )

    return condition


def at_most(name: str, limit: float, tolerance: float = 1e-9) -> Condition:
    """The figure `name` is not above `limit`, both in SI."""

    def condition(inputs: LegalInputs) -> ConditionAnswer:
        value = getattr(inputs, name)
        return (
            ConditionAnswer(None, (name,))
            if value is None
            else ConditionAnswer(value <= limit + tolerance)
        )

    return condition


def less_than(name: str, limit: float) -> Condition:
    """The figure `name` is strictly below `limit`."""

    def condition(inputs: LegalInputs) -> ConditionAnswer:
        value = getattr(inputs, name)
        return (
            ConditionAnswer(None, (name,))
            if value is None
            else ConditionAnswer(value < limit - 1e-9)
        )

    return condition


def more_than(name: str, limit: float, tolerance: float = 1e-9) -> Condition:
    """The figure `name` is above `limit`: the opposite of `at_most`."""
    return not_met(at_most(name, limit, tolerance))


def speed_at_most(name: str, limit: float) -> Condition:
    """The speed `name` is not above `limit` by more than `TOLERANCE`."""
    return at_most(name, limit, TOLERANCE)


def speed_over(name: str, limit: float) -> Condition:
    """The speed `name` is above `limit` by more than `TOLERANCE`."""
    return more_than(name, limit, TOLERANCE)


def speeds_at_most(limit: float) -> tuple[Condition, Condition]:
    """Neither assistance nor the motor alone goes beyond `limit`."""
    return speed_at_most("cutoff", limit), speed_at_most("throttle_speed", limit)


def no_throttle() -> Condition:
    """The motor alone does not drive the bicycle."""
    return at_most("throttle_speed", 0.0)


def not_met(condition: Condition) -> Condition:
    """The opposite of a condition: it holds when the condition does not."""

    def opposite(inputs: LegalInputs) -> ConditionAnswer:
        holds, missing = condition(inputs)
        return ConditionAnswer(None if holds is None else not holds, missing)

    return opposite


def all_of(*conditions: Condition) -> Condition:
    """All conditions hold. One that fails decides, whatever else is missing."""

    def condition(inputs: LegalInputs) -> ConditionAnswer:
        answers = [each(inputs) for each in conditions]
        if any(answer.holds is False for answer in answers):
            return ConditionAnswer(False)
        missing = tuple(dict.fromkeys(name for answer in answers for name in answer.missing))
        return ConditionAnswer(None, missing) if missing else ConditionAnswer(True)

    return condition


def any_of(*conditions: Condition) -> Condition:
    """At least one condition holds. One that holds decides, whatever else is missing."""

    return not_met(all_of(*(not_met(each) for each in conditions)))
