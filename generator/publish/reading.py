"""The whole publication, read and checked. Imports nothing heavy."""

import os
from dataclasses import dataclass, replace
from pathlib import Path

from generator.content.model import Content
from generator.content.money.checks import find_money_problems
from generator.content.read import read_content
from generator.publish.today import choose_day
from generator.specs.bike import Bike
from generator.specs.problems import Problem, ProblemsFound
from generator.specs.read import Mapper, read_bikes


@dataclass(frozen=True)
class Publication:
    root: Path
    bikes: tuple[Bike, ...]
    content: Content
    warnings: tuple[Problem, ...]


def errors_of(problems: list[Problem]) -> list[Problem]:
    return [problem for problem in problems if problem.severity == "error"]


def read_publication(root: Path, mapper: Mapper = map) -> Publication:
    """Read bikes and content. `mapper` is that of `read_bikes`.

    Raises
    ------
    ProblemsFound
        With every problem, warnings included, when one of them is an error.
    """
    bikes, problems = read_bikes(root, mapper=mapper)
    content, more = read_content(root)
    problems = [*problems, *more]
    if content is not None:
        day = choose_day(None, os.environ, content.settings.updated)
        content = replace(content, day=day.on if day else None)
        problems += find_money_problems(bikes, content, day, slugs(root))
    if content is None or errors_of(problems):
        raise ProblemsFound(problems)
    return Publication(root, bikes, content, tuple(sorted(problems)))


def slugs(root: Path) -> list[str]:
    """Of all spec files, readable or not."""
    return [path.stem for path in sorted((root / "bikes").glob("*.yaml"))]
