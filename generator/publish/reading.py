"""The whole publication, read and checked. Imports nothing heavy."""

from dataclasses import dataclass
from pathlib import Path

from generator.content.model import Content
from generator.content.read import read_content
from generator.specs.bike import Bike
from generator.specs.problems import Problem, ProblemsFound
from generator.specs.read import read_bikes


@dataclass(frozen=True)
class Publication:
    root: Path
    bikes: tuple[Bike, ...]
    content: Content
    warnings: tuple[Problem, ...]


def errors_of(problems: list[Problem]) -> list[Problem]:
    return [problem for problem in problems if problem.severity == "error"]


def read_publication(root: Path) -> Publication:
    """Read bikes and content.

    Raises
    ------
    ProblemsFound
        With every problem, warnings included, when one of them is an error.
    """
    bikes, problems = read_bikes(root)
    content, more = read_content(root)
    problems = [*problems, *more]
    if content is None or errors_of(problems):
        raise ProblemsFound(problems)
    return Publication(root, bikes, content, tuple(sorted(problems)))
