"""A small, sound spec file, and ways to change it."""

from pathlib import Path

from generator.specs.bike import Bike
from generator.specs.problems import Problem
from generator.specs.read import read_bike

SOUND = """\
# Demo data: this maker and this bike are invented.
name: Grelm
maker: Oskelm
year: 2026
status: on sale
uses: [city]
frame: diamond
mass: 24.5 kg
permitted_mass: 130 kg
motor:
  place: rear hub
  drive: geared
  rated_power: 250 W
  peak_power: 480 W
  torque: 40 N·m
  assisted_speed: 25 km/h
  current_limit: 14 A
battery:
  voltage: 36 V
  charge: 11 Ah
  energy: 396 Wh
assist:
  sensor: cadence
  levels:
    - {name: Low, speed: 15 km/h, current: 5 A}
    - {name: Mid, speed: 20 km/h, current: 9 A}
    - {name: High, speed: 25 km/h, current: 14 A}
drivetrain:
  shifting: derailleur
  chainrings: [42]
  cogs: [11, 14, 18, 24, 28]
wheels:
  size: 47-622
sources:
  sheet: {title: Maker's spec sheet, kind: maker, seen: 2026-10-04}
"""


def change_spec(*changes: tuple[str, str], more: str = "") -> str:
    """SOUND with each `(before, after)` applied, and `more` at its end."""
    text = SOUND
    for before, after in changes:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    return text + more


def read_spec(
    folder: Path, text: str | bytes, slug: str = "oskelm-grelm"
) -> tuple[Bike | None, list[Problem]]:
    """Read a spec file that says `text`."""
    path = folder / "bikes" / f"{slug}.yaml"
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_bike(path, folder)


def read_sound_bike(folder: Path, *changes: tuple[str, str], more: str = "") -> Bike:
    """The bike of a changed file that has no errors."""
    bike, problems = read_spec(folder, change_spec(*changes, more=more))
    assert bike is not None, problems
    return bike


def read_one_problem(folder: Path, *changes: tuple[str, str], more: str = "") -> Problem:
    """The one problem of a changed file."""
    _, problems = read_spec(folder, change_spec(*changes, more=more))
    assert len(problems) == 1, list(map(str, problems))
    return problems[0]
