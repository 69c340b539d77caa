"""Cross-checks of the assist levels and the throttle."""

from generator.specs.checks.facts import Facts

LIMITS = {"speed": "speed", "current": "current", "power": "ratio", "ratio": "ratio"}
"""What a level may set, and its dimension."""
SPEED_TOLERANCE = 0.2 / 3.6
"""15.5 mph is 24.945 km/h, 28 mph is 45.06 km/h: sheets round. [m/s]"""


def check_levels(facts: Facts) -> None:
    levels = facts.items("assist", "levels")
    _names(facts, levels)
    for key, dimension in LIMITS.items():
        _order(facts, len(levels), key, dimension)
    for at in range(len(levels)):
        _within(facts, at, "speed", "speed", "assisted_speed", SPEED_TOLERANCE)
        _within(facts, at, "current", "current", "current_limit", 1e-9)


def check_throttle(facts: Facts) -> None:
    pulses, start = facts.one("assist", "pulses"), facts.one("assist", "start_pulses")
    numbers = all(isinstance(each, int) and each > 0 for each in (pulses, start))
    if numbers and start > 2 * pulses:
        facts.warn(
            ("assist", "start_pulses"),
            f"{start} start pulses of {pulses} in a turn are more than two turns of the crank",
            "Check both; start_pulses is how many pulses pass before help comes",
        )
    throttle = facts.quantity("speed", "assist", "throttle", "speed")
    assisted = facts.quantity("speed", "motor", "assisted_speed")
    if throttle and assisted and throttle.value > assisted.value + SPEED_TOLERANCE:
        facts.warn(
            ("assist", "throttle", "speed"),
            f"the throttle reaches {throttle.text}, the motor helps up to {assisted.text} only",
            "Check both against the source",
        )


def _names(facts: Facts, levels: list[object]) -> None:
    lines: dict[str, int] = {}
    for at in range(len(levels)):
        name = facts.word("assist", "levels", at, "name")
        keys = ("assist", "levels", at, "name")
        line, _ = facts.marked.where(keys)
        if name and name in lines:
            what = f"two levels are called '{name}', on line {lines[name]} and on line {line}"
            facts.error(keys, what, "Give each level a name of its own, as the display does")
        lines.setdefault(name, line)


def _order(facts: Facts, count: int, key: str, dimension: str) -> None:
    """Levels go from the weakest to the strongest in each limit that they set."""
    before = None
    for at in range(count):
        keys = ("assist", "levels", at, key)
        limit = facts.quantity(dimension, *keys)
        if limit is None:
            continue
        name = facts.word("assist", "levels", at, "name") or f"level {at + 1}"
        if before is not None and limit.value < before[0].value * (1 - 1e-9):
            facts.error(
                keys,
                f"the {key} of '{name}', {limit.text}, is below that of '{before[1]}' above it,"
                f" {before[0].text}",
                "List the levels from the weakest to the strongest, or mend the number",
            )
        before = (limit, name)


def _within(facts: Facts, at: int, key: str, dimension: str, cap: str, tolerance: float) -> None:
    """A level's limit above the motor's own says nothing, or one of them is wrong."""
    keys = ("assist", "levels", at, key)
    limit, most = facts.quantity(dimension, *keys), facts.quantity(dimension, "motor", cap)
    if limit and most and limit.value > most.value + tolerance:
        name = facts.word("assist", "levels", at, "name") or f"level {at + 1}"
        facts.warn(
            keys,
            f"'{name}' allows {limit.text}, above the motor's {cap} of {most.text}",
            f"Check both; a level cannot pass motor.{cap}",
        )
