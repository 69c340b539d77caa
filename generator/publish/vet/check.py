"""Every problem of a publication, or of a few files of it, without building.

* check     problems, sorted; see its parameters
"""

import os
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from generator.publish.today import today
from generator.specs.bike import Bike
from generator.specs.checks.freshness import Rules, freshness
from generator.specs.problems import Problem
from generator.specs.read import Look, own_schema, read_bike, read_bikes
from generator.specs.yaml.files import read_bytes, read_text
from generator.specs.yaml.located import Marked
from generator.specs.yaml.lost_lines import lost_values

if TYPE_CHECKING:
    from generator.content.model import Content


def check(
    root: Path,
    files: Sequence[Path] | None = None,
    *,
    on: date | None = None,
    figures: bool = False,
) -> list[Problem]:
    """Check the whole publication, or only `files`.

    Prose may name any figure, so it is checked only with the whole: that needs every figure
    computed. With `files` nothing is computed, and the answer comes at once.

    Parameters
    ----------
    on
        The day that old and future dates are judged by; else as in `today`.
    figures
        Work the bikes' figures out and set them beside comparable bikes.

    Returns
    -------
    list of Problem
        Sorted by file and line. Notes come only with `files`: they are for whoever works on one.
    """
    look = _freshness(root, on)
    found = _of_files(root, files, look, figures, on) if files else _of_all(root, look, figures, on)
    return sorted(found)


def _freshness(root: Path, on: date | None) -> Look:
    """The check of dates, sources and currency by the publication's settings; nothing without them."""
    from generator.content.records import read_settings

    settings, _ = read_settings(root)
    day = today(on, os.environ, settings.updated if settings else None)
    if settings is None:
        return lambda marked: []
    rules = Rules(settings.stale_price_days, settings.stale_source_days, settings.currency)
    return lambda marked: freshness(marked, rules, day)


def _of_all(root: Path, look: Look, figures: bool, on: date | None) -> list[Problem]:
    from generator.content.read import read_content

    def without_notes(marked: Marked) -> list[Problem]:
        return [problem for problem in look(marked) if problem.severity != "note"]

    bikes, problems = read_bikes(root, None, without_notes)
    content, more = read_content(root)
    problems = [*problems, *more]
    if content is not None:
        problems += _of_money(root, bikes, content, on)
    if content is None or any(problem.severity == "error" for problem in problems):
        return problems
    if figures:
        from generator.publish.vet.comparables import odd_values

        problems += odd_values(root, bikes, bikes, content)
    return [*problems, *_of_prose(root, bikes, content)]


def _of_money(
    root: Path, bikes: Sequence[Bike], content: "Content", on: date | None
) -> list[Problem]:
    from generator.content.money.checks import money_problems
    from generator.content.texts.guide_checks import old_guides
    from generator.publish.reading import slugs

    day = today(on, os.environ, content.settings.updated)
    return [*money_problems(bikes, content, day, slugs(root)), *old_guides(content, day)]


def _of_prose(root: Path, bikes: Sequence[Bike], content: "Content") -> Iterator[Problem]:
    from generator.figures.table.tabulate import tabulate
    from generator.pages.prose.render import render

    table = tabulate(bikes, content)
    for text in content.texts:
        yield from render(text, table, content, depth=1, root=root)[1]


def _of_files(
    root: Path, files: Sequence[Path], look: Look, figures: bool, on: date | None
) -> list[Problem]:
    from generator.publish.vet.comparables import twins

    problems: list[Problem] = []
    bikes: list[Bike] = []
    texts: set[str] = set()
    for file in files:
        try:
            name = file.resolve().relative_to(root.resolve()).as_posix()
        except ValueError:
            name = str(file)
        if not os.path.isfile(file):
            problems += read_bytes(file, name)[1]
            continue
        if name.startswith("bikes/") and name.endswith(".yaml"):
            bike, found = read_bike(root / name, root, look)
            problems += found
            problems += lost_values(read_text(root / name), own_schema(root)[0] or {}, name)
            bikes += [bike] if bike else []
        elif name.startswith("content/"):
            texts.add(name)
        else:
            what = "this file is no part of the publication"
            problems.append(Problem(name, 0, 0, what, "Name one in bikes/ or content/"))
    problems += twins(root, bikes)
    if texts:
        from generator.content.read import read_content

        content, found = read_content(root)
        found += _of_money(root, bikes, content, on) if content is not None else []
        problems += [problem for problem in found if problem.file in texts]
    return problems + (_beside_others(root, bikes) if figures and bikes else [])


def _beside_others(root: Path, bikes: Sequence[Bike]) -> list[Problem]:
    """Odd values of some bikes beside all that can be read; the content's problems where it has any."""
    from generator.content.read import read_content
    from generator.publish.vet.comparables import odd_values

    content, problems = read_content(root)
    if content is None:
        return [problem for problem in problems if problem.severity == "error"]
    return odd_values(root, bikes, read_bikes(root)[0], content)
