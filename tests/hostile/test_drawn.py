"""Spec files drawn from the schema: what it allows is accepted, worked out and published, and what it forbids is told in
its place."""

import functools
import math
import subprocess
import sys
import warnings
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from generator.figures.table.tabulate import tabulate
from generator.publish.vet.comparables import find_odd_values
from generator.specs.bike import Bike
from generator.specs.problems import Problem
from tests.content import publication as sound
from tests.figures import demo
from tests.hostile.audit import harm
from tests.hostile.contract import broken_promises
from tests.hostile.drawn import SCHEMA, properties, specs, written
from tests.hostile.numbers import numbers
from tests.hostile.spoiled import spoiled
from tests.hostile.vet_bike import vetted

Spec = dict[str, Any]
DRAWS, PUBLISHED, SPOILED = 100, 20, 150
MOST = 6
"""Times that so many are drawn, until every property was."""
SAME_ALWAYS = {
    "derandomize": True,
    "database": None,
    "deadline": None,
    "phases": [Phase.generate],  # shrinking such large values takes minutes
    "suppress_health_check": list(HealthCheck),
}


@functools.cache
def drawn(turn: int = 0) -> tuple[Spec, ...]:
    """The same draws for the same program: Hypothesis draws some constants from the modules that are loaded."""
    found: list[Spec] = []

    @seed(turn)
    @settings(max_examples=DRAWS, **SAME_ALWAYS)
    @given(specs())
    def draw(spec: Spec) -> None:
        found.append(spec)

    draw()
    return tuple(found)


def read(root: Path, text: str, slug: str = "drawn") -> tuple[Bike | None, list[Problem]]:
    path = root / f"bikes/{slug}.yaml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, "utf-8")
    return vetted(root, f"bikes/{slug}.yaml")


def all_bikes(root: Path) -> list[Bike]:
    bikes = []
    for number, spec in enumerate(drawn()):
        bike, problems = read(root, written(spec)[0], f"drawn-{number}")
        assert bike is not None, [written(spec)[0], *map(str, problems)]
        bikes.append(bike)
    return bikes


def test_every_draw_is_accepted(tmp_path: Path) -> None:
    """None is thrown away: what the schema allows and agrees with itself is a bike, with warnings at most."""
    assert len(drawn()) == DRAWS
    for number, spec in enumerate(drawn()):
        text, _ = written(spec)
        bike, problems = read(tmp_path, text)

        assert bike is not None, [number, text, *map(str, problems)]
        assert all(problem.severity != "error" for problem in problems)
        assert list(broken_promises(problems, {"bikes/drawn.yaml": text.encode()})) == []


def test_the_draws_reach_every_property() -> None:
    missing = set(properties())

    assert len(missing) > 140
    for turn in range(MOST):
        missing -= {name for spec in drawn(turn) for name in properties(SCHEMA, spec)}
        if not missing:
            break
    assert missing == set()


def test_everything_drawn_can_be_worked_out(tmp_path: Path) -> None:
    """Figures, curves and grids of all of them, with finite numbers and ordered intervals, and not even a warning."""
    bikes = all_bikes(tmp_path)
    odd = find_odd_values(tmp_path, bikes, bikes, demo.content())
    files = {bike.file: (tmp_path / bike.file).read_bytes() for bike in bikes}
    broken = list(broken_promises(odd, files))
    for start in range(0, len(bikes), 20):
        some = bikes[start : start + 20]
        try:
            broken += unsound(some)
        except Exception:  # say of which bike
            broken += [f"{bike.slug}: {reason(bike)}" for bike in some]

    assert [each for each in broken if not each.endswith(": None")] == []


def reason(bike: Bike) -> Exception | None:
    try:
        unsound([bike])
    except Exception as error:
        return error
    return None


def unsound(bikes: Sequence[Bike]) -> list[str]:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        table = tabulate(bikes, demo.content())
        grid = table.grid()
    details = [table.details._details(bike.slug) for bike in bikes]  # type: ignore[attr-defined]  # all, by no name
    made = (table.figures, table.claims, table.rides, table.effects, grid, details)
    found = [
        f"{path} {number}"
        for each in made
        for path, number in numbers(each)
        if not math.isfinite(number)
    ]
    every = [figure for bike in bikes for figure in table.figures_of(bike.slug).values()]
    found += [f"{each}" for each in every if not each.low <= each.value <= each.high]
    return found + [
        f"{bike.slug} has no figures" for bike in bikes if not table.figures_of(bike.slug)
    ]


def test_a_publication_of_drawn_bikes_is_built(tmp_path: Path) -> None:
    """The whole way, by the command: exit code 0, a page for each, and files that do no harm."""
    sound.write_content(tmp_path)
    for number, spec in enumerate(drawn()[-PUBLISHED:]):
        bike, problems = read(tmp_path, written(spec)[0], f"drawn-{number}")
        assert bike, problems

    ended = subprocess.run(
        [sys.executable, "-W", "error", "-m", "generator", "build", "--root", tmp_path],
        capture_output=True,
        text=True,
        cwd=demo.ROOT,
    )

    assert ended.returncode == 0, ended.stdout + ended.stderr
    assert "Traceback" not in ended.stdout + ended.stderr
    site = tmp_path / "site"
    pages = sorted(path.parent.name for path in site.glob("bikes/drawn-*/index.html"))
    assert pages == sorted(f"drawn-{number}" for number in range(PUBLISHED))
    files = [path for path in site.rglob("*") if path.is_file() and path.name != ".built.json"]
    told = [
        fault
        for path in files
        for fault in harm(path.relative_to(site).as_posix(), path.read_bytes())
    ]
    assert told == []


@settings(max_examples=SPOILED, **SAME_ALWAYS)
@given(spec=specs(), data=st.data())
def test_what_the_schema_forbids_is_told_in_its_place(
    tmp_path_factory: pytest.TempPathFactory, spec: Spec, data: st.DataObject
) -> None:
    """At least one error, on the line of what was broken or of its key, or of the group that lacks it."""
    broken, places, how = spoiled(data.draw, spec)
    text, lines = written(broken)

    bike, problems = read(tmp_path_factory.getbasetemp(), text)

    assert bike is None, [how, text]
    assert list(broken_promises(problems, {"bikes/drawn.yaml": text.encode()})) == []
    wanted = {lines.get(place, 1) for place in places}
    told = {problem.line for problem in problems if problem.severity == "error"}
    near = any(abs(line - each) <= 2 for line in told for each in wanted)
    assert near, [how, wanted, problems, text]
