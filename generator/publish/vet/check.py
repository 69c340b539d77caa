"""`vet`: finds the problems of a publication, or of some of its files, without building.

* check_publication     the sorted problems
"""

import os
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from generator.publish.today import choose_day
from generator.specs.bike import Bike
from generator.specs.checks.freshness import FreshnessRules, check_freshness
from generator.specs.problems import Problem
from generator.specs.read import SpecCheck, find_bike_schema, read_bike, read_bikes
from generator.specs.yaml.files import read_bytes, read_text
from generator.specs.yaml.located import LocatedMapping
from generator.specs.yaml.lost_lines import find_lost_values

if TYPE_CHECKING:
    from generator.content.model import Content


def check_publication(
    root: Path,
    files: Sequence[Path] | None = None,
    *,
    on: date | None = None,
    figures: bool = False,
) -> list[Problem]:
    """Check the whole publication, or only `files`.

    Texts can name any figure, so they are checked only with the whole publication, which computes every figure.
    With `files` nothing is computed, and the answer is immediate.

    Parameters
    ----------
    on
        The day by which old and future dates are judged; if None, the day that `today` chooses.
    figures
        Compute the bikes' figures and compare them with those of comparable bikes.

    Returns
    -------
    list of Problem
        Sorted by file and line. Notes are included only with `files`: they are for the author of a file.
    """
    look = _make_date_check(root, on)
    found = (
        _check_files(root, files, look, figures, on)
        if files
        else _check_all(root, look, figures, on)
    )
    return sorted(found)


def _make_date_check(root: Path, on: date | None) -> SpecCheck:
    """The check of dates, sources and currency by the publication's settings; without settings it finds nothing."""
    from generator.content.records import read_settings

    settings, _ = read_settings(root)
    day = choose_day(on, os.environ, settings.updated if settings else None)
    if settings is None:
        return lambda marked: []
    rules = FreshnessRules(settings.stale_price_days, settings.stale_source_days, settings.currency)
    return lambda marked: check_freshness(marked, rules, day)


def _check_all(root: Path, look: SpecCheck, figures: bool, on: date | None) -> list[Problem]:
    """Problems of the whole publication; texts are checked only if there are no errors before."""
    from generator.content.read import read_content

    def without_notes(marked: LocatedMapping) -> list[Problem]:
        return [problem for problem in look(marked) if problem.severity != "note"]

    bikes, problems = read_bikes(root, None, without_notes)
    content, more = read_content(root)
    problems = [*problems, *more]
    if content is not None:
        problems += _check_money(root, bikes, content, on)
    if content is None or any(problem.severity == "error" for problem in problems):
        return problems
    if figures:
        from generator.publish.vet.comparables import find_odd_values

        problems += find_odd_values(root, bikes, bikes, content)
    return [*problems, *_check_prose(root, bikes, content)]


def _check_money(
    root: Path, bikes: Sequence[Bike], content: "Content", on: date | None
) -> list[Problem]:
    """Problems with prices, links and disclosures, and guides that have not been checked for long."""
    from generator.content.money.checks import find_money_problems
    from generator.content.texts.guide_checks import find_old_guides
    from generator.publish.reading import slugs

    day = choose_day(on, os.environ, content.settings.updated)
    return [*find_money_problems(bikes, content, day, slugs(root)), *find_old_guides(content, day)]


def _check_prose(root: Path, bikes: Sequence[Bike], content: "Content") -> Iterator[Problem]:
    """Problems of texts, found by rendering them with every figure computed."""
    from generator.figures.table.tabulate import tabulate
    from generator.pages.prose.render import render_text

    table = tabulate(bikes, content)
    for text in content.texts:
        yield from render_text(text, table, content, depth=1, root=root)[1]


def _check_files(
    root: Path, files: Sequence[Path], look: SpecCheck, figures: bool, on: date | None
) -> list[Problem]:
    """Problems of some files of the publication."""
    from generator.publish.vet.comparables import find_twins

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
            problems += find_lost_values(
                read_text(root / name), find_bike_schema(root)[0] or {}, name
            )
            bikes += [bike] if bike else []
        elif name.startswith("content/"):
            texts.add(name)
        else:
            what = "this file is no part of the publication"
            problems.append(Problem(name, 0, 0, what, "Name one in bikes/ or content/"))
    problems += find_twins(root, bikes)
    if texts:
        from generator.content.read import read_content

        content, found = read_content(root)
        found += _check_money(root, bikes, content, on) if content is not None else []
        problems += [problem for problem in found if problem.file in texts]
    return problems + (_check_odd_values(root, bikes) if figures and bikes else [])


def _check_odd_values(root: Path, bikes: Sequence[Bike]) -> list[Problem]:
    """Values of some bikes that are odd among all readable bikes; the errors of the content if it has any."""
    from generator.content.read import read_content
    from generator.publish.vet.comparables import find_odd_values

    content, problems = read_content(root)
    if content is None:
        return [problem for problem in problems if problem.severity == "error"]
    return find_odd_values(root, bikes, read_bikes(root)[0], content)
