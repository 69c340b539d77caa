"""Legal categories: test cases of each rule, dates, tolerance, and what is not known.

Expected categories follow from the text of the law named in each rule's `source`.
"""

from dataclasses import fields, replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.law.japan import ratio_limit_before_2008
from generator.law.judge import NOTICE, RULES, apply_rule, apply_rules, is_in_force
from generator.law.model import INPUT_WORDS, LegalInputs

KMH, MPH = 1 / 3.6, 0.44704

PLAIN = LegalInputs(
    pedals=True,
    wheels=2,
    seats=1,
    rated_power=250.0,
    cutoff=25 * KMH,
    throttle_speed=0.0,
    progressive=True,
    stops_with_pedals=True,
)
"""Inputs of an ordinary bike of 250 W and 25 km/h without a throttle."""

BY_ID = {rule.id: rule for rule in RULES}


def category(rule, **changes):
    return apply_rule(BY_ID[rule], replace(PLAIN, **changes)).category


CASES = [
    ("us-federal", {"rated_power": 500.0}, "low-speed electric bicycle"),
    ("us-federal", {"rated_power": 750.0}, "none"),
    ("us-federal", {"rated_power": 749.0}, "low-speed electric bicycle"),
    ("us-federal", {"throttle_speed": None}, "unknown"),
    ("us-federal", {"throttle_speed": 20 * MPH}, "none"),
    ("us-federal", {"rated_power": 750.0, "throttle_speed": None}, "none"),
    ("us-federal", {"wheels": 4}, "none"),
    ("us-classes", {"rated_power": 750.0, "cutoff": 20 * MPH}, "Class 1"),
    (
        "us-classes",
        {"rated_power": 750.0, "cutoff": 20 * MPH, "throttle_speed": 20 * MPH},
        "Class 2",
    ),
    ("us-classes", {"rated_power": 750.0, "cutoff": 28 * MPH}, "Class 3"),
    (
        "us-classes",
        {"rated_power": 750.0, "cutoff": 28 * MPH, "throttle_speed": 20 * MPH},
        "none",
    ),
    ("us-classes", {"rated_power": 751.0}, "none"),
    ("us-classes", {"cutoff": 29 * MPH}, "none"),
    ("us-classes", {"cutoff": 20 * MPH, "throttle_speed": 6 * KMH}, "Class 1"),
    ("us-california", {"cutoff": 28 * MPH, "speedometer": True}, "Class 3"),
    ("us-california", {"cutoff": 28 * MPH, "speedometer": False}, "none"),
    ("us-california", {"cutoff": 28 * MPH}, "unknown"),
    ("us-california", {"rated_power": 750.0, "cutoff": 20 * MPH}, "Class 1"),
    ("us-california-2024", {"rated_power": 750.0, "cutoff": 20 * MPH}, "none"),
    ("us-new-jersey", {}, "vehicle with licence and registration"),
    ("eu", {}, "EPAC, outside type approval"),
    ("eu", {"throttle_speed": 6 * KMH}, "EPAC, outside type approval"),
    ("eu", {"throttle_speed": 25 * KMH}, "L1e-A powered cycle"),
    ("eu", {"progressive": False}, "L1e-A powered cycle"),
    ("eu", {"rated_power": 500.0, "cutoff": 45 * KMH}, "L1e-B moped"),
    ("eu", {"rated_power": 5000.0, "cutoff": 45 * KMH}, "none"),
    ("eu", {"rated_power": None}, "unknown"),
    (
        "eu-designed-to-pedal",
        {"rated_power": 500.0, "cutoff": 45 * KMH, "mass": 28.0, "power_factor": 3.0},
        "L1e-B cycle designed to pedal",
    ),
    (
        "eu-designed-to-pedal",
        {"rated_power": 500.0, "cutoff": 45 * KMH, "mass": 36.0, "power_factor": 3.0},
        "none",
    ),
    ("eu-designed-to-pedal", {"mass": 25.0, "power_factor": 3.0}, "none"),
    ("uk", {}, "EAPC"),
    ("uk", {"cutoff": 15.5 * MPH}, "EAPC"),
    ("uk", {"cutoff": 32 * KMH}, "motor vehicle"),
    (
        "uk",
        {"throttle_speed": 15.5 * MPH},
        "EAPC only with type or individual approval, for its throttle",
    ),
    ("uk-marking", {"marking": frozenset({"power", "maker", "speed"})}, "complete plate"),
    ("uk-marking", {"marking": frozenset({"power", "maker"})}, "incomplete plate"),
    ("uk-marking", {}, "unknown"),
    (
        "ca-federal",
        {"rated_power": 500.0, "cutoff": 20 * MPH, "throttle_speed": 20 * MPH},
        "power-assisted bicycle",
    ),
    ("ca-federal", {"rated_power": 501.0}, "none"),
    ("ca-british-columbia", {}, "light e-bike"),
    ("ca-british-columbia", {"throttle_speed": 20 * KMH}, "standard e-bike"),
    ("ca-british-columbia", {"rated_power": 500.0, "cutoff": 32 * KMH}, "standard e-bike"),
    ("ca-british-columbia", {"rated_power": 750.0}, "none"),
    ("au", {}, "EPAC"),
    ("au", {"throttle_speed": 25 * KMH}, "none"),
    ("au", {"rated_power": 500.0}, "unknown"),
    (
        "au",
        {"rated_power": 300.0, "greatest_power": 200.0, "mass": 22.0},
        "power-assisted pedal cycle of 200 W",
    ),
    ("au-new-south-wales", {"rated_power": 500.0}, "EPAC of up to 500 W"),
    ("nz", {"greatest_power": 300.0}, "power-assisted cycle"),
    ("nz", {"greatest_power": 300.0, "cutoff": 60 * KMH}, "power-assisted cycle"),
    ("nz", {"greatest_power": 301.0}, "none"),
    ("nz", {}, "unknown"),
    ("cn", {"rated_power": 400.0, "voltage": 48.0, "mass": 55.0}, "electric bicycle"),
    ("cn", {"voltage": 48.0, "mass": 60.0, "chemistry": "lead-acid"}, "electric bicycle"),
    ("cn", {"voltage": 48.0, "mass": 60.0, "chemistry": "NMC"}, "none"),
    ("cn", {"voltage": 48.0, "mass": 60.0}, "unknown"),
    ("cn", {"voltage": 48.0, "mass": 64.0}, "none"),
    ("cn", {"voltage": 52.0, "mass": 30.0}, "none"),
    (
        "cn-2018",
        {"voltage": 48.0, "mass": 60.0, "chemistry": "lead-acid"},
        "none",
    ),
    (
        "ch",
        {"thirty_minute_power": 500.0, "throttle_speed": 25 * KMH, "permitted_mass": 250.0},
        "light motorised bicycle, no plate",
    ),
    (
        "ch",
        {"thirty_minute_power": 900.0, "cutoff": 45 * KMH, "permitted_mass": 160.0},
        "fast motorised bicycle, with plate",
    ),
    (
        "ch",
        {"thirty_minute_power": 2000.0, "permitted_mass": 400.0},
        "heavy motorised bicycle, with plate",
    ),
    ("ch", {"permitted_mass": 150.0}, "unknown"),
    (
        "ch-2025",
        {"thirty_minute_power": 500.0, "throttle_speed": 25 * KMH, "permitted_mass": 150.0},
        "none",
    ),
    ("no", {}, "bicycle"),
    ("no", {"rated_power": 500.0, "wheels": 3, "seats": 3}, "bicycle"),
    ("no", {"rated_power": 500.0}, "moped"),
]


@pytest.mark.parametrize(("rule", "changes", "expected"), CASES)
def test_rule(rule, changes, expected):
    """An ordinary bike with these changes falls where the law's text puts it."""
    assert category(rule, **changes) == expected


@pytest.mark.parametrize(
    ("curve", "expected"),
    [
        ({8: 2.0, 15: 1.28, 20: 0.57}, "bicycle with assistance (駆動補助機付自転車)"),
        ({8: 2.5}, "moped"),
        ({18: 1.0}, "moped"),
        ({25: 0.01}, "moped"),
    ],
)
def test_japan_looks_at_every_speed(curve, expected):
    """One point above the curve of the ordinance is enough to leave the category."""
    ratios = tuple((speed * KMH, ratio) for speed, ratio in curve.items())

    found = category("jp", assist_ratios=ratios, tamper_resistant=True)
    assert found == expected


def test_japan_before_2008():
    """The limit before 2008: 1 below 15 km/h, then 1 − (v − 15)/9, after an enthusiast's page."""
    assert ratio_limit_before_2008(10 * KMH) == pytest.approx(1.0)
    assert ratio_limit_before_2008(19.5 * KMH) == pytest.approx(0.5)
    assert category("jp-2008", assist_ratios=((8 * KMH, 2.0),), tamper_resistant=True) == "moped"


@pytest.mark.parametrize(
    ("stated", "rule", "expected"),
    [
        (25 * KMH, "uk", "EAPC"),  # 15.534 mph
        (15.5 * MPH, "eu", "EPAC, outside type approval"),  # 24.945 km/h
        (25.3 * KMH, "eu", "L1e-B moped"),
        (32.2 * KMH, "us-classes", "Class 1"),  # 20 mph, rounded
        (45 * KMH, "us-classes", "Class 3"),  # 27.96 mph
        (28 * MPH, "eu", "L1e-B moped"),  # 45.062 km/h
    ],
)
def test_converted_speeds_keep_their_category(stated, rule, expected):
    """A limit in the other unit system is not missed by a rounded conversion."""
    assert category(rule, cutoff=stated) == expected


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_nothing_stated_is_unknown(rule):
    """A bike without stated figures is in no category, and the words name what is missing."""
    result = apply_rule(rule, LegalInputs())

    assert result.category == "unknown"
    assert result.missing
    for name in result.missing:
        assert INPUT_WORDS[name] in result.words


FULL = st.builds(
    LegalInputs,
    pedals=st.booleans(),
    wheels=st.integers(2, 4),
    seats=st.integers(1, 3),
    rated_power=st.sampled_from([200.0, 250.0, 500.0, 750.0, 3000.0]),
    thirty_minute_power=st.sampled_from([250.0, 500.0, 900.0, 2000.0]),
    greatest_power=st.sampled_from([200.0, 300.0, 900.0]),
    cutoff=st.sampled_from([25 * KMH, 20 * MPH, 28 * MPH, 60 * KMH]),
    throttle_speed=st.sampled_from([0.0, 6 * KMH, 25 * KMH, 20 * MPH]),
    progressive=st.booleans(),
    stops_with_pedals=st.booleans(),
    mass=st.sampled_from([20.0, 36.0, 60.0]),
    permitted_mass=st.sampled_from([150.0, 240.0, 300.0, 500.0]),
    voltage=st.sampled_from([36.0, 48.0, 52.0]),
    chemistry=st.sampled_from(["NMC", "lead-acid"]),
    power_factor=st.sampled_from([2.0, 5.0]),
    speedometer=st.booleans(),
    tamper_resistant=st.booleans(),
    assist_ratios=st.sampled_from([((2.0, 1.5),), ((2.0, 3.5),)]),
    marking=st.sampled_from([frozenset({"power", "maker", "speed"}), frozenset({"maker"})]),
)


@given(
    inputs=FULL,
    forgotten=st.sets(st.sampled_from([field.name for field in fields(LegalInputs)])),
    rule=st.sampled_from(RULES),
)
def test_forgetting_never_moves_a_bike(inputs, forgotten, rule):
    """Without some figures a bike stays where it was or becomes unknown: it never moves."""
    known = apply_rule(rule, inputs)
    less = apply_rule(rule, replace(inputs, **dict.fromkeys(forgotten)))

    assert known.category != "unknown"
    assert less.category in {known.category, "unknown"}
    assert set(less.missing) <= forgotten


@given(inputs=FULL, rule=st.sampled_from(RULES))
def test_words_never_say_legal(inputs, rule):
    """A result speaks of the figures given, and never says that a bike is legal."""
    words = apply_rule(rule, inputs).words

    assert words.startswith("on the figures given, this would fall in ")
    assert "legal" not in words


def test_notice_defers_to_local_law():
    """The notice beside every result says that it is not legal advice."""
    assert "not legal advice" in NOTICE
    assert "Local law decides" in NOTICE


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_rules_are_dated_and_sourced(rule):
    """Every rule names its source and when it was checked, and does not end before it begins."""
    assert rule.source
    assert rule.checked_on == date(2026, 11, 25)
    if rule.valid_from and rule.valid_to:
        assert rule.valid_from < rule.valid_to


def test_rule_ids_are_used_once():
    """No two rules share an id."""
    assert len(BY_ID) == len(RULES)


@pytest.mark.parametrize(
    ("rule", "day", "expected"),
    [
        ("ch", date(2025, 6, 30), False),
        ("ch", date(2025, 7, 1), True),
        ("ch-2025", date(2025, 6, 30), True),
        ("ch-2025", date(2025, 7, 1), False),
        ("cn", date(2025, 8, 31), False),
        ("cn", date(2025, 9, 1), True),
        ("us-new-jersey", date(2026, 1, 18), False),
        ("us-new-jersey", date(2026, 1, 19), True),
        ("ca-federal", date(2026, 1, 1), False),
        ("us-california-2024", date(2025, 1, 1), False),
    ],
)
def test_rules_have_their_day(rule, day, expected):
    """A rule applies from its first day to its last, both included."""
    assert is_in_force(BY_ID[rule], day) is expected


def test_judging_on_a_day_leaves_out_old_rules():
    """Judging on a day gives one result for each rule in force."""
    day = date(2026, 11, 25)
    results = apply_rules(PLAIN, day)

    assert [result.rule.id for result in results] == [r.id for r in RULES if is_in_force(r, day)]
    assert "ch" in {result.rule.id for result in results}
    assert "ch-2025" not in {result.rule.id for result in results}
