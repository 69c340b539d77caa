"""A route's profile from a CSV file: `distance_m,elevation_m,surface,stop`, one row for each point."""

import csv
import math
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import pairwise
from typing import NamedTuple

from generator.specs.problems import Problem, Severity

COLUMNS = ("distance_m", "elevation_m", "surface", "stop")
SURFACES = ("smooth", "rough", "gravel")
STEEPEST = 0.40
"""Grade above which a fault is more likely than a road. Common practice, no source. [-]"""
MOST_ROWS = 50_000
MOST_PROBLEMS = 20
"""Problems reported for one file."""
_YES = frozenset({"1", "yes", "true", "stop"})
_NO = frozenset({"", "0", "no", "false"})
_ELEVATIONS = (-500.0, 9000.0)
"""Lowest and highest elevation of a road. [m]"""


class ProfileRow(NamedTuple):
    """One usable line of the file."""

    line: int
    distance: float
    elevation: float
    surface: str
    stop: bool


@dataclass(frozen=True)
class Profile:
    """Points and stops of a route; tuples run along it."""

    distance: tuple[float, ...]
    """Distance of each point from the start. [m]"""
    elevation: tuple[float, ...]
    """Elevation of each point. [m]"""
    surface: tuple[str, ...]
    """Surface of the stretch that begins at each point."""
    stops: tuple[float, ...]
    """Distance of each stop from the start. [m]"""


def read_profile(text: str, file: str) -> tuple[Profile | None, list[Problem]]:
    """The profile that a CSV text states, and a problem for each unusable row."""
    reader = csv.reader(text.splitlines(), strict=True)
    problems: list[Problem] = []
    rows: list[ProfileRow] = []
    try:
        head = [name.strip() for name in next(reader, [])]
        wrong = _check_head(head, file)
        if wrong:
            return None, [wrong]
        surface = SURFACES[0]
        for cells in reader:
            line = reader.line_num
            if not any(cell.strip() for cell in cells):
                continue
            if len(rows) >= MOST_ROWS:
                problems.append(
                    Problem(file, line, 0, f"more than {MOST_ROWS} rows", "Keep a point every 20 m")
                )
                break
            row, found = _read_row(cells, head, file, line, surface)
            problems += found
            if row:
                surface = row.surface
                rows.append(row)
    except csv.Error as error:
        mend = "Write four values with commas between"
        problems.append(Problem(file, reader.line_num, 0, f"this is not CSV: {error}", mend))
    else:
        problems += _check_order(rows, file)
    if _has_error(problems):
        return None, _limit_problems(problems)
    _, distance, elevation, surfaces, stops = zip(*rows, strict=True)
    at_stops = tuple(place for place, stop in zip(distance, stops, strict=True) if stop)
    return Profile(distance, elevation, surfaces, at_stops), _limit_problems(problems)


def _check_head(head: list[str], file: str) -> Problem | None:
    if set(head) == set(COLUMNS) and len(head) == len(COLUMNS):
        return None
    for name in head:
        if name not in COLUMNS:
            close = get_close_matches(name, COLUMNS, n=1)
            mend = f"Did you mean {close[0]}" if close else "The columns are " + ",".join(COLUMNS)
            return Problem(file, 1, 1, f"there is no column {name[:80]!r}", mend)
    missing = [name for name in COLUMNS if name not in head]
    what = f"the column {missing[0]} is missing" if missing else "a column stands twice"
    return Problem(file, 1, 1, what, "The first line is " + ",".join(COLUMNS))


def _read_row(
    cells: list[str], head: list[str], file: str, line: int, surface: str
) -> tuple[ProfileRow | None, list[Problem]]:
    if len(cells) != len(head):
        what = f"the row has {len(cells)} values instead of {len(head)}"
        return None, [Problem(file, line, 0, what, "Write " + ",".join(head))]
    problems: list[Problem] = []
    cell = {name: value.strip() for name, value in zip(head, cells, strict=True)}
    numbers = []
    for name, lowest, highest in (("distance_m", 0.0, 1e6), ("elevation_m", *_ELEVATIONS)):
        try:
            number = float(cell[name])
        except ValueError:
            number = math.nan
        if not lowest <= number <= highest:  # also when it is not a number
            what = f"{name} is {cell[name][:40]!r}"
            mend = f"Write a number of metres from {lowest:g} to {highest:g}, with a decimal point"
            problems.append(Problem(file, line, 0, what, mend))
        numbers.append(number)
    kind = cell["surface"] or surface
    if kind not in SURFACES:
        close = get_close_matches(kind, SURFACES, n=1)
        mend = f"Did you mean {close[0]}" if close else "Surfaces are " + ", ".join(SURFACES)
        problems.append(Problem(file, line, 0, f"there is no surface {kind[:40]!r}", mend))
    stop = cell["stop"].lower()
    if stop not in _YES | _NO:
        what = f"stop is {cell['stop'][:40]!r}"
        problems.append(Problem(file, line, 0, what, "Write 1 where the rider must stop, else 0"))
    distance, elevation = numbers
    return (
        None if problems else ProfileRow(line, distance, elevation, kind, stop in _YES)
    ), problems


def _check_order(rows: list[ProfileRow], file: str) -> list[Problem]:
    """Problems of rows compared with the row before."""
    if len(rows) < 2:
        return [
            Problem(
                file,
                0,
                0,
                "the profile has fewer than two usable points",
                "Give at least the start and the end",
            )
        ]
    problems: list[Problem] = []
    if rows[0].distance != 0:
        what = f"the profile begins at {rows[0].distance:g} m"
        problems.append(
            Problem(file, rows[0].line, 0, what, "Count the distance from 0 at the start")
        )
    for before, here in pairwise(rows):
        run, rise = here.distance - before.distance, here.elevation - before.elevation
        if run <= 0:
            what = (
                f"distance_m does not grow: {here.distance:g} m comes after {before.distance:g} m"
            )
            problems.append(
                Problem(file, here.line, 0, what, "Sort the rows, and give each place once")
            )
        elif abs(rise) > STEEPEST * run:
            problems.append(make_steep_problem(file, here.line, rise / run, before.distance))
    return problems


def make_steep_problem(file: str, line: int, grade: float, place: float) -> Problem:
    what = f"the road has a grade of {grade:.0%} at {place:g} m"
    mend = "This is likely a fault of the recording: look at the elevations there"
    return Problem(file, line, 0, what, mend, "warning")


def _limit_problems(problems: list[Problem]) -> list[Problem]:
    problems.sort()
    if len(problems) <= MOST_PROBLEMS:
        return problems
    kept = problems[:MOST_PROBLEMS]
    last = kept[-1]
    more = len(problems) - MOST_PROBLEMS
    worst: Severity = "error" if _has_error(problems) else "warning"
    what = f"{more} more like these follow"
    kept.append(Problem(last.file, last.line, 0, what, "Mend the first ones", worst))
    return kept


def _has_error(problems: list[Problem]) -> bool:
    return any(problem.severity == "error" for problem in problems)
