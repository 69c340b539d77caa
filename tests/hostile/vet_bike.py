"""One spec file read as `vet` reads it.

* vetted    the bike, and all that is said of its file
"""

from datetime import date
from pathlib import Path

from generator.publish.vet.comparables import find_twins
from generator.specs.bike import Bike
from generator.specs.checks.freshness import FreshnessRules, ReferenceDay, check_freshness
from generator.specs.problems import Problem
from generator.specs.read import find_bike_schema, read_bike
from generator.specs.yaml.files import read_text
from generator.specs.yaml.located import LocatedMapping
from generator.specs.yaml.lost_lines import find_lost_values

SETTINGS = FreshnessRules(price_days=120, source_days=365, currency="EUR")
TODAY = ReferenceDay(date(2026, 11, 25), exact=True)


def vetted(root: Path, file: str) -> tuple[Bike | None, list[Problem]]:
    bike, problems = read_bike(root / file, root, _look)
    lost = find_lost_values(read_text(root / file), find_bike_schema(root)[0] or {}, file)
    return bike, [*problems, *lost, *find_twins(root, [bike] if bike else [])]


def _look(marked: LocatedMapping) -> list[Problem]:
    return check_freshness(marked, SETTINGS, TODAY)
