"""Does a spec file agree with itself? Errors where it cannot, warnings where it hardly can.

* cross_checks     every check, on a file that may have other problems too
"""

from generator.specs.checks.assist import check_levels, check_throttle
from generator.specs.checks.facts import Facts
from generator.specs.checks.gears import check_gears, check_wheels
from generator.specs.checks.power import check_battery, check_claims, check_mass, check_motor
from generator.specs.checks.records import check_keys, check_records, check_relation, check_sources
from generator.specs.checks.texts import check_names, check_texts
from generator.specs.problems import Problem
from generator.specs.yaml.located import Marked

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


def cross_checks(marked: Marked) -> list[Problem]:
    """Every contradiction inside one spec file."""
    facts = Facts(marked)
    for check in CHECKS:
        check(facts)
    return facts.problems
