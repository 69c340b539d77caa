"""Spec files beside the other bikes of the publication.

* twins        another file that describes the same bike, found without reading every file
* odd_values   values far from those of comparable bikes, as warnings with their places
"""

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from generator.specs.bike import Bike
from generator.specs.problems import Problem
from generator.specs.read import FOLDER, identity, plain_words, read_bike, twin
from generator.specs.yaml.files import read_mapping, read_text

if TYPE_CHECKING:
    from generator.content.model import Content

NAME = re.compile(r"^name:[ \t]*(.*?)[ \t]*(?:#.*)?$", re.MULTILINE)


def twins(root: Path, bikes: Sequence[Bike]) -> list[Problem]:
    """Warnings about bikes that another file describes too, same maker, name and year."""
    slugs = {bike.slug for bike in bikes}
    names = {plain_words(bike.name) for bike in bikes}
    every = list(bikes)
    for path in sorted((root / FOLDER).glob("*.yaml")) if names else ():
        if path.stem not in slugs and _name_in(path) in names:
            other, _ = read_bike(path, root)
            every += [other] if other else []
    problems = []
    for bike in bikes:
        for other in every:
            told = other.slug in slugs and other.slug >= bike.slug
            if not told and identity(other) == identity(bike):
                problems.append(twin(bike, other))
    return problems


def odd_values(
    root: Path, bikes: Sequence[Bike], others: Sequence[Bike], content: "Content"
) -> list[Problem]:
    """A warning for each value of `bikes` that lies far from those of comparable ones in `others`.

    The figures of all of them are worked out for it, at their nominal values.
    """
    from generator.figures.criteria.comparables import nominal, oddities

    every = {bike.slug: bike for bike in (*others, *bikes)}
    figures = nominal(list(every.values()), content)
    problems = []
    for bike in bikes:
        marked, _ = read_mapping(root / bike.file, root)
        if marked is None:
            continue
        for odd in oddities(bike, list(every.values()), figures, content):
            problems.append(marked.problem(odd.keys, odd.what, odd.mend, "warning"))
    return problems


def _name_in(path: Path) -> str:
    """What the line `name:` of a spec file says; empty when there is none."""
    found = NAME.search(read_text(path))
    return plain_words(found[1].strip("\"'")) if found else ""
