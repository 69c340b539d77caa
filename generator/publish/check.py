"""Every problem of a publication, or of a few files of it, without building."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from generator.content.model import Content, Text
from generator.content.read import read_content
from generator.publish.reading import errors_of
from generator.specs.bike import Bike
from generator.specs.problems import Problem
from generator.specs.read import read_bike, read_bikes


def check(root: Path, files: Sequence[Path] | None = None) -> list[Problem]:
    """Check the whole publication, or only `files`.

    Prose may name any figure, so it is checked only with the whole: that needs every figure
    computed. With `files` nothing is computed, and the answer comes at once.

    Returns
    -------
    list of Problem
        Sorted by file and line.
    """
    return sorted(_of_files(root, files) if files else _of_all(root))


def _of_all(root: Path) -> list[Problem]:
    bikes, problems = read_bikes(root)
    content, more = read_content(root)
    problems = [*problems, *more]
    if content is None or errors_of(problems):
        return problems
    return [*problems, *_of_prose(bikes, content)]


def _of_prose(bikes: Sequence[Bike], content: Content) -> Iterator[Problem]:
    from generator.figures.tabulate import tabulate
    from generator.pages.prose import render

    table = tabulate(bikes, content)
    for text in _texts(content):
        yield from render(text, table, content, depth=1)[1]


def _texts(content: Content) -> Iterator[Text]:
    yield from (*content.guides, *content.terms, *content.pages)
    if content.changelog is not None:
        yield content.changelog


def _of_files(root: Path, files: Sequence[Path]) -> list[Problem]:
    problems: list[Problem] = []
    texts: set[str] = set()
    for file in files:
        try:
            name = file.resolve().relative_to(root.resolve()).as_posix()
        except ValueError:
            name = str(file)
        if name.startswith("bikes/") and name.endswith(".yaml"):
            problems += read_bike(root / name, root)[1]
        elif name.startswith("content/"):
            texts.add(name)
        else:
            problems.append(
                Problem(
                    name,
                    0,
                    0,
                    "this file is no part of the publication",
                    "Name one in bikes/ or content/",
                )
            )
    if texts:
        problems += [problem for problem in read_content(root)[1] if problem.file in texts]
    return problems
