"""Checks a spec file for contradictions: errors for the impossible, warnings for the implausible.

* find_contradictions    runs every check, also on a file that has other problems
"""

from generator.specs.checks.assist import check_levels, check_throttle
from generator.specs.checks.facts import Facts
from generator.specs.checks.gears import check_gears, check_wheels
from generator.specs.checks.power import check_battery, check_claims, check_mass, check_motor
from generator.specs.checks.records import check_keys, check_records, check_relation, check_sources
from generator.specs.checks.texts import check_names, check_texts
from generator.specs.problems import Problem
from generator.specs.yaml.located import LocatedMapping

CHECKS = (
    check_mass,
    check_battery,
    check_motor,
    check_claims,
    check_levels,
    check_throttle,
    check_gears,
    check_wheels,
    check_sources,
    check_keys,
    check_records,
    check_relation,
    check_names,
    check_texts,
)


def find_contradictions(mapping: LocatedMapping) -> list[Problem]:
    """Every contradiction inside one spec file."""
    facts = Facts(mapping)
    for check in CHECKS:
        check(facts)
    return facts.problems
