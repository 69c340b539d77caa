"""Conditions that rules are built from. A missing figure gives no answer, never a pass."""

from generator.law.model import Answer, Condition, Inputs

KMH = 1 / 3.6
"""One kilometre an hour. [m/s]"""

MPH = 0.44704
"""One mile an hour. [m/s]  Exact by definition."""

TOLERANCE = 0.2 * KMH
"""Within which a stated speed counts as the limit, so that 25 km/h passes 15.5 mph. [m/s]"""


def is_true(name: str) -> Condition:
    """The figure `name` is stated and true."""

    def condition(inputs: Inputs) -> Answer:
        value = getattr(inputs, name)
        return Answer(None, (name,)) if value is None else Answer(bool(value))

    return condition


def one_of(name: str, *allowed: object) -> Condition:
    """The figure `name` is one of `allowed`."""

    def condition(inputs: Inputs) -> Answer:
        value = getattr(inputs, name)
        return Answer(None, (name,)) if value is None else Answer(value in allowed)

    return condition


def at_most(name: str, limit: float, tolerance: float = 1e-9) -> Condition:
    """The figure `name` is not above `limit`, both in SI."""

    def condition(inputs: Inputs) -> Answer:
        value = getattr(inputs, name)
        return Answer(None, (name,)) if value is None else Answer(value <= limit + tolerance)

    return condition


def under(name: str, limit: float) -> Condition:
    """The figure `name` is strictly below `limit`."""

    def condition(inputs: Inputs) -> Answer:
        value = getattr(inputs, name)
        return Answer(None, (name,)) if value is None else Answer(value < limit - 1e-9)

    return condition


def over(name: str, limit: float, tolerance: float = 1e-9) -> Condition:
    """The figure `name` is above `limit`: the opposite of `at_most`."""
    return negated(at_most(name, limit, tolerance))


def slower(name: str, limit: float) -> Condition:
    """The speed `name` is not above `limit`, give or take `TOLERANCE`."""
    return at_most(name, limit, TOLERANCE)


def faster(name: str, limit: float) -> Condition:
    """The speed `name` is above `limit` by more than `TOLERANCE`."""
    return over(name, limit, TOLERANCE)


def both_slower(limit: float) -> tuple[Condition, Condition]:
    """Neither assistance nor the motor alone goes beyond `limit`."""
    return slower("cutoff", limit), slower("throttle_speed", limit)


def no_throttle() -> Condition:
    """The motor alone does not drive the bicycle."""
    return at_most("throttle_speed", 0.0)


def negated(condition: Condition) -> Condition:
    """The condition does not hold."""

    def opposite(inputs: Inputs) -> Answer:
        holds, missing = condition(inputs)
        return Answer(None if holds is None else not holds, missing)

    return opposite


def every(*conditions: Condition) -> Condition:
    """All conditions hold. One that fails settles it, whatever is missing elsewhere."""

    def condition(inputs: Inputs) -> Answer:
        answers = [each(inputs) for each in conditions]
        if any(answer.holds is False for answer in answers):
            return Answer(False)
        missing = tuple(dict.fromkeys(name for answer in answers for name in answer.missing))
        return Answer(None, missing) if missing else Answer(True)

    return condition


def either(*conditions: Condition) -> Condition:
    """At least one condition holds. One that holds settles it."""

    return negated(every(*(negated(each) for each in conditions)))
