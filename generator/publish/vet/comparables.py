"""Checks spec files against the other bikes of the publication.

* find_twins        warnings about two files for the same bike, found without reading every file
* find_odd_values   warnings about values far from those of comparable bikes
"""

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from generator.specs.bike import Bike
from generator.specs.problems import Problem
from generator.specs.read import FOLDER, identify_bike, make_twin_problem, normalize_text, read_bike
from generator.specs.yaml.files import read_mapping, read_text

if TYPE_CHECKING:
    from generator.content.model import Content

NAME_LINE = re.compile(r"^name:[ \t]*(.*?)[ \t]*(?:#.*)?$", re.MULTILINE)


def find_twins(root: Path, bikes: Sequence[Bike]) -> list[Problem]:
    """Warnings about bikes that another file describes too: same maker, name and year."""
    slugs = {bike.slug for bike in bikes}
    names = {normalize_text(bike.name) for bike in bikes}
    every = list(bikes)
    for path in sorted((root / FOLDER).glob("*.yaml")) if names else ():
        if path.stem not in slugs and _read_name(path) in names:
            other, _ = read_bike(path, root)
            every += [other] if other else []
    problems = []
    for bike in bikes:
        for other in every:
            reported = other.slug in slugs and other.slug >= bike.slug
            if not reported and identify_bike(other) == identify_bike(bike):
                problems.append(make_twin_problem(bike, other))
    return problems


def find_odd_values(
    root: Path, bikes: Sequence[Bike], others: Sequence[Bike], content: "Content"
) -> list[Problem]:
    """A warning for each value of `bikes` that is far from those of comparable bikes in `others`.

    The figures of all these bikes are computed, at nominal inputs.
    """
    from generator.figures.criteria.comparables import compute_compared_figures, find_oddities

    every = {bike.slug: bike for bike in (*others, *bikes)}
    figures = compute_compared_figures(list(every.values()), content)
    problems = []
    for bike in bikes:
        mapping, _ = read_mapping(root / bike.file, root)
        if mapping is None:
            continue
        for odd in find_oddities(bike, list(every.values()), figures, content):
            problems.append(mapping.make_problem(odd.keys, odd.what, odd.mend, "warning"))
    return problems


def _read_name(path: Path) -> str:
    """The name in the line `name:` of a spec file, without reading the rest; empty if there is none."""
    found = NAME_LINE.search(read_text(path))
    return normalize_text(found[1].strip("\"'")) if found else ""
