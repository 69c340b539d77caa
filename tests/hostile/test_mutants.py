"""Thousands of spoiled spec files: each is a good bike or a list of problems that a person can mend.

Not what a bike costs in seconds but in calls of functions is bounded, so a slow machine changes nothing.
"""

import collections
import math
import random
from pathlib import Path

import pytest

from generator.figures.table.tabulate import tabulate
from generator.publish.vet.comparables import find_odd_values
from generator.specs.bike import Bike
from generator.specs.read import read_bike
from tests.figures import demo
from tests.hostile.contract import broken_promises, work
from tests.hostile.mutate import SOUND_AGAIN, WAYS, mutant
from tests.hostile.numbers import numbers
from tests.hostile.vet_bike import vetted

SPECS = [path.read_bytes() for path in sorted((demo.ROOT / "bikes").glob("*.yaml"))]
SEEDS, EACH = range(26), 205
TRIED = 5000
FILE = "bikes/maker-mutant.yaml"
STEPS, STEPS_OF_A_BYTE = 200_000, 100
"""Calls that a file may cost; the dearest of the sound ones takes 30 for each of its bytes."""


def publication(root: Path) -> Path:
    (root / "bikes").mkdir(parents=True)
    return root


def test_enough_are_tried() -> None:
    assert len(SEEDS) * EACH >= TRIED
    assert len(SPECS) >= 30


@pytest.mark.parametrize("seed", SEEDS)
def test_a_bike_or_problems(seed: int, tmp_path: Path) -> None:
    """Errors or a bike, never both nor neither; and each problem keeps what was promised."""
    root, done, broken = publication(tmp_path), collections.Counter[str](), []
    (root / FILE).write_bytes(SPECS[seed])
    assert vetted(root, FILE)[0] is not None  # also loads what is loaded once

    for case in range(EACH):
        dice = random.Random(f"spec {seed} {case}")
        raw, names = mutant(dice.choice(SPECS), dice, SPECS)
        (root / FILE).write_bytes(raw)

        (bike, problems), calls = work(lambda: vetted(root, FILE))

        errors = [each for each in problems if each.severity == "error"]
        done.update(names)
        done["tried"] += 1
        done["accepted" if bike else "refused"] += 1
        faults = list(broken_promises(problems, {FILE: raw}))
        if (bike is None) != bool(errors):
            faults.append(f"a bike and errors, or neither: {problems}")
        if calls > STEPS + STEPS_OF_A_BYTE * len(raw):
            faults.append(f"{calls} calls for {len(raw)} bytes")
        broken += [f"seed {seed}, case {case}, {names}: {fault}" for fault in faults]

    assert broken == []
    assert done["tried"] == EACH
    assert min(done["accepted"], done["refused"]) > EACH / 50
    assert sum(name in done for name in WAYS) > 0.9 * len(WAYS)


def other_bikes(root: Path, seed: int, count: int) -> tuple[Bike, ...]:
    """So many bikes of mutants that were accepted and say something new, with their files."""
    bikes: dict[str, Bike] = {}
    for case in range(2000):
        dice = random.Random(f"figures {seed} {case}")
        raw, _ = mutant(dice.choice(SPECS), dice, SPECS, SOUND_AGAIN)
        path = root / f"bikes/mutant-{len(bikes)}.yaml"
        path.write_bytes(raw)
        bike, _ = read_bike(path, root)
        if bike is None or raw in SPECS:
            path.unlink()
        else:
            bikes[bike.slug] = bike
        if len(bikes) == count:
            return tuple(bikes.values())
    raise AssertionError(f"only {len(bikes)} of the mutants are sound")


@pytest.mark.parametrize("seed", range(6))
def test_what_is_accepted_can_be_worked_out(seed: int, tmp_path: Path) -> None:
    """Of 120 accepted ones every figure, curve and grid is made, as `vet --figures` and `build` do; all numbers are finite."""
    root = publication(tmp_path)
    bikes = other_bikes(root, seed, 20)
    files = {bike.file: (root / bike.file).read_bytes() for bike in bikes}

    odd = find_odd_values(root, bikes, (*demo.bikes(), *bikes), demo.content())
    table = tabulate(bikes, demo.content())

    assert list(broken_promises(odd, files)) == []
    assert all(table.figures_of(bike.slug) for bike in bikes)
    details = [table.details._details(bike.slug) for bike in bikes]  # type: ignore[attr-defined]  # all, by no name
    made = (table.figures, table.claims, table.rides, table.effects, table.grid(), details)
    assert [
        f"{seed}: {path} {value}"
        for each in made
        for path, value in numbers(each)
        if not math.isfinite(value)
    ] == []
    for figures in table.figures.values():
        for figure in figures.values():
            assert figure.low <= figure.value <= figure.high, figure
