"""One spec file read as `vet` reads it.

* vetted    the bike, and all that is said of its file
"""

from datetime import date
from pathlib import Path

from generator.publish.vet.comparables import twins
from generator.specs.bike import Bike
from generator.specs.checks.freshness import Day, Rules, freshness
from generator.specs.problems import Problem
from generator.specs.read import own_schema, read_bike
from generator.specs.yaml.files import read_text
from generator.specs.yaml.located import Marked
from generator.specs.yaml.lost_lines import lost_values

SETTINGS = Rules(price_days=120, source_days=365, currency="EUR")
TODAY = Day(date(2026, 11, 25), exact=True)


def vetted(root: Path, file: str) -> tuple[Bike | None, list[Problem]]:
    bike, problems = read_bike(root / file, root, _look)
    lost = lost_values(read_text(root / file), own_schema(root)[0] or {}, file)
    return bike, [*problems, *lost, *twins(root, [bike] if bike else [])]


def _look(marked: Marked) -> list[Problem]:
    return freshness(marked, SETTINGS, TODAY)
