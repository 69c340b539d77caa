"""Rules of Australia, New Zealand, Japan and China."""

from datetime import date
from functools import partial

from generator.law.conditions import (
    KMH,
    all_of,
    any_of,
    at_most,
    is_true,
    less_than,
    no_throttle,
    one_of,
    speed_at_most,
    speeds_at_most,
)
from generator.law.japan import SOURCE as JAPAN_SOURCE
from generator.law.japan import ratio_limit, ratio_limit_before_2008, ratios_within
from generator.law.model import LegalCategory, LegalRule

_TAPERED = (
    is_true("pedals"),
    is_true("progressive"),
    is_true("stops_with_pedals"),
    speed_at_most("cutoff", 25 * KMH),
    speed_at_most("throttle_speed", 6 * KMH),
)

_CHINA = (at_most("rated_power", 400.0), *speeds_at_most(25 * KMH), at_most("voltage", 48.0))


def _make_japan_categories(limit) -> tuple[LegalCategory, ...]:
    conditions = (
        is_true("pedals"),
        ratios_within(limit),
        no_throttle(),
        is_true("tamper_resistant"),
    )
    return (LegalCategory("bicycle with assistance (駆動補助機付自転車)", conditions),)


RULES = (
    LegalRule(
        id="au",
        region="Australia",
        title="Electrically power-assisted cycles",
        categories=(
            LegalCategory("EPAC", (*_TAPERED, at_most("rated_power", 250.0))),
            LegalCategory(
                "power-assisted pedal cycle of 200 W",
                (
                    is_true("pedals"),
                    at_most("greatest_power", 200.0),
                    no_throttle(),
                    less_than("mass", 50.0),
                ),
            ),
        ),
        source="Australian Design Rules, Definitions 2005, Amendment 11 (2021)",
        note=(
            "Imports must meet EN 15194:2017 since 19 December 2025, with protection against"
            " tampering. The 50 kg of the 200 W category are from memory. States differ."
        ),
    ),
    LegalRule(
        id="au-new-south-wales",
        region="New South Wales",
        title="Up to 500 W, in transition",
        categories=(
            LegalCategory("EPAC of up to 500 W", (*_TAPERED, at_most("rated_power", 500.0))),
        ),
        source="State announcements, read in newspapers and a trade page",
        note="Output fades above 6 km/h. The state says that it will go to 250 W; date not found.",
    ),
    LegalRule(
        id="nz",
        region="New Zealand",
        title="Power-assisted cycles",
        categories=(
            LegalCategory(
                "power-assisted cycle", (is_true("pedals"), at_most("greatest_power", 300.0))
            ),
        ),
        source="Gazette 2013-au4618, under s. 168A(2) Land Transport Act 1998",
        note=(
            "The limit is on maximum output, not on rated power, and there is no limit on speed;"
            " it must be driven mainly by its rider."
        ),
    ),
    LegalRule(
        id="jp",
        region="Japan",
        title="Bicycles with assistance",
        categories=_make_japan_categories(ratio_limit),
        otherwise="moped",
        source=JAPAN_SOURCE,
        valid_from=date(2008, 12, 1),
        note="Assistance must also be smooth. First day from memory.",
    ),
    LegalRule(
        id="jp-trailer",
        region="Japan",
        title="Three- and four-wheelers with assistance that tow a trailer",
        categories=_make_japan_categories(partial(ratio_limit, trailer=True)),
        otherwise="moped",
        source=JAPAN_SOURCE,
        note="Only with three or four wheels and a trailer; every other bicycle: rule jp.",
    ),
    LegalRule(
        id="jp-2008",
        region="Japan",
        title="Bicycles with assistance, until November 2008",
        categories=_make_japan_categories(ratio_limit_before_2008),
        otherwise="moped",
        source=JAPAN_SOURCE + "; earlier text, read in an enthusiast's page",
        valid_to=date(2008, 11, 30),
    ),
    LegalRule(
        id="cn",
        region="China",
        title="Electric bicycles",
        categories=(
            LegalCategory(
                "electric bicycle",
                (
                    *_CHINA,
                    any_of(
                        at_most("mass", 55.0),
                        all_of(at_most("mass", 63.0), one_of("chemistry", "lead-acid")),
                    ),
                ),
            ),
        ),
        source="GB 17761-2024, read in trade and news pages",
        valid_from=date(2025, 9, 1),
        note=(
            "Old stock could be sold to 30 November 2025. Plastics: at most 5.5 % of the mass."
            " 400 W and 48 V are read for the 2018 edition; for 2024 from memory."
        ),
    ),
    LegalRule(
        id="cn-2018",
        region="China",
        title="Electric bicycles, until August 2025",
        categories=(
            LegalCategory("electric bicycle", (is_true("pedals"), *_CHINA, at_most("mass", 55.0))),
        ),
        source="GB 17761-2018",
        valid_from=date(2019, 4, 15),
        valid_to=date(2025, 8, 31),
        note="First day from memory.",
    ),
)
