"""Rules of the United States and Canada."""

from datetime import date

from generator.law.conditions import (
    KMH,
    MPH,
    at_most,
    is_true,
    less_than,
    no_throttle,
    one_of,
    speed_at_most,
    speed_over,
    speeds_at_most,
)
from generator.law.model import Condition, LegalCategory, LegalRule

_WALK = 3.7 * MPH


def _make_classes(
    power: Condition, *, third: tuple[Condition, ...] = ()
) -> tuple[LegalCategory, ...]:
    pedals, walk_only = is_true("pedals"), speed_at_most("throttle_speed", _WALK)
    throttle = (speed_over("throttle_speed", _WALK), speed_at_most("throttle_speed", 20 * MPH))
    slow = speed_at_most("cutoff", 20 * MPH)
    fast = (speed_over("cutoff", 20 * MPH), speed_at_most("cutoff", 28 * MPH))
    return (
        LegalCategory("Class 1", (pedals, power, walk_only, slow)),
        LegalCategory("Class 2", (pedals, power, *throttle, slow)),
        LegalCategory("Class 3", (pedals, power, walk_only, *fast, *third)),
    )


RULES = (
    LegalRule(
        id="us-federal",
        region="United States",
        title="Federal product safety",
        categories=(
            LegalCategory(
                "low-speed electric bicycle",
                (
                    is_true("pedals"),
                    one_of("wheels", 2, 3),
                    less_than("rated_power", 750.0),
                    less_than("throttle_speed", 20 * MPH),
                ),
            ),
        ),
        source="15 USC 2085(b), Public Law 107-319; Federal Register vol. 68 no. 29 p. 7072",
        valid_from=date(2002, 12, 4),
        note=(
            "Both limits are strict: exactly 750 W or 20 mph is outside. The speed is that of the"
            " motor alone, on a paved level road with a rider of 170 lb. About the product, not"
            " about where it may be ridden. First day from memory."
        ),
    ),
    LegalRule(
        id="us-classes",
        region="United States",
        title="Three classes, as on federal park land and in many states",
        categories=_make_classes(at_most("rated_power", 750.0)),
        source="36 CFR 1.4",
        valid_from=date(2020, 12, 2),
        note="States differ: check state law. First day from memory.",
    ),
    LegalRule(
        id="us-california",
        region="California",
        title="Three classes",
        categories=_make_classes(at_most("rated_power", 750.0), third=(is_true("speedometer"),)),
        source="California Vehicle Code 312.5, as amended by SB 1271, ch. 791 Stats. 2024",
        valid_from=date(2025, 1, 1),
        note="Class 3: rider of 16 or older, with a helmet (from memory).",
    ),
    LegalRule(
        id="us-california-2024",
        region="California",
        title="Three classes, until 2024",
        categories=_make_classes(less_than("rated_power", 750.0), third=(is_true("speedometer"),)),
        source="California Vehicle Code 312.5, text before 2025",
        valid_to=date(2024, 12, 31),
        note="Motors of less than 750 W. Its 3.7 mph start mode is that of the later text.",
    ),
    LegalRule(
        id="us-new-jersey",
        region="New Jersey",
        title="Registered vehicles",
        categories=(LegalCategory("vehicle with licence and registration", (is_true("pedals"),)),),
        source="New Jersey S4834/A6235, read in pages of local groups and newspapers",
        valid_from=date(2026, 1, 19),
        note="One year of grace. Sources dispute the details: check state law.",
    ),
    LegalRule(
        id="ca-federal",
        region="Canada",
        title="Federal definition, repealed",
        categories=(
            LegalCategory(
                "power-assisted bicycle",
                (
                    is_true("pedals"),
                    one_of("wheels", 1, 2, 3),
                    at_most("rated_power", 500.0),
                    *speeds_at_most(32 * KMH),
                ),
            ),
        ),
        source="Motor Vehicle Safety Regulations C.R.C. c. 1038 s. 2(1), SOR/2001-117; SOR/2020-22",
        valid_to=date(2021, 2, 28),
        note="Repealed in February 2021, day not looked up. Provinces now decide.",
    ),
    LegalRule(
        id="ca-british-columbia",
        region="British Columbia",
        title="Light and standard e-bikes",
        categories=(
            LegalCategory(
                "light e-bike",
                (
                    is_true("pedals"),
                    at_most("rated_power", 250.0),
                    speed_at_most("cutoff", 25 * KMH),
                    no_throttle(),
                ),
            ),
            LegalCategory(
                "standard e-bike",
                (is_true("pedals"), at_most("rated_power", 500.0), *speeds_at_most(32 * KMH)),
            ),
        ),
        source="B.C. Reg. 64/2024",
        valid_from=date(2024, 4, 5),
        note="Riders of 14 or older for a light e-bike, 16 for a standard one. Helmet required.",
    ),
)
