"""Cross-checks of the assist levels and the throttle."""

from generator.specs.checks.facts import Facts
from generator.specs.units import kmh

LIMITS = {"speed": "speed", "current": "current", "power": "ratio", "ratio": "ratio"}
"""What a level may set, and its dimension."""
SPEED_TOLERANCE = kmh(0.2)
"""15.5 mph is 24.945 km/h, 28 mph is 45.06 km/h: sheets round. [m/s]"""


def check_levels(facts: Facts) -> None:
    levels = facts.get_list("assist", "levels")
    _check_names(facts, levels)
    for key, dimension in LIMITS.items():
        _check_order(facts, len(levels), key, dimension)
    for at in range(len(levels)):
        _check_limit(facts, at, "speed", "speed", "assisted_speed", SPEED_TOLERANCE)
        _check_limit(facts, at, "current", "current", "current_limit", 1e-9)


def check_throttle(facts: Facts) -> None:
    pulses, start = facts.get("assist", "pulses"), facts.get("assist", "start_pulses")
    numbers = all(isinstance(each, int) and each > 0 for each in (pulses, start))
    if numbers and start > 2 * pulses:
        facts.add_warning(
            ("assist", "start_pulses"),
            f"{start} start pulses of {pulses} in a turn are more than two turns of the crank",
            "Check both; start_pulses is how many pulses pass before help comes",
        )
    throttle = facts.get_quantity("speed", "assist", "throttle", "speed")
    assisted = facts.get_quantity("speed", "motor", "assisted_speed")
    if throttle and assisted and throttle.value > assisted.value + SPEED_TOLERANCE:
        facts.add_warning(
            ("assist", "throttle", "speed"),
            f"the throttle reaches {throttle.text}, the motor helps up to {assisted.text} only",
            "Check both against the source",
        )


def _check_names(facts: Facts, levels: list[object]) -> None:
    lines: dict[str, int] = {}
    for at in range(len(levels)):
        name = facts.get_text("assist", "levels", at, "name")
        keys = ("assist", "levels", at, "name")
        line, _ = facts.mapping.where(keys)
        if name and name in lines:
            what = f"two levels are called '{name}', on line {lines[name]} and on line {line}"
            facts.add_error(keys, what, "Give each level a name of its own, as the display does")
        lines.setdefault(name, line)


def _check_order(facts: Facts, count: int, key: str, dimension: str) -> None:
    """Check that levels run from the weakest to the strongest in each limit that they set."""
    before = None
    for at in range(count):
        keys = ("assist", "levels", at, key)
        limit = facts.get_quantity(dimension, *keys)
        if limit is None:
            continue
        name = facts.get_text("assist", "levels", at, "name") or f"level {at + 1}"
        if before is not None and limit.value < before[0].value * (1 - 1e-9):
            facts.add_error(
                keys,
                f"the {key} of '{name}', {limit.text}, is below that of '{before[1]}' above it,"
                f" {before[0].text}",
                "List the levels from the weakest to the strongest, or mend the number",
            )
        before = (limit, name)


def _check_limit(
    facts: Facts, at: int, key: str, dimension: str, cap: str, tolerance: float
) -> None:
    """Warn of a level's limit above the motor's own: it has no effect, or one of the two is wrong."""
    keys = ("assist", "levels", at, key)
    limit, most = facts.get_quantity(dimension, *keys), facts.get_quantity(dimension, "motor", cap)
    if limit and most and limit.value > most.value + tolerance:
        name = facts.get_text("assist", "levels", at, "name") or f"level {at + 1}"
        facts.add_warning(
            keys,
            f"'{name}' allows {limit.text}, above the motor's {cap} of {most.text}",
            f"Check both; a level cannot pass motor.{cap}",
        )
