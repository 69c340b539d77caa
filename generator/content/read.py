"""The content folder, read and checked as a whole.

* read_content    everything that people write, or every problem in it
"""

from pathlib import Path

from generator.content.model import Content
from generator.content.records import read_references, read_riders, read_settings
from generator.content.routes import read_routes
from generator.content.texts import Shelf
from generator.specs.marked import Marked
from generator.specs.problems import Problem


def read_content(root: Path) -> tuple[Content | None, list[Problem]]:
    """Read `content/` under the publication's root.

    Returns every problem of every file, sorted. Warnings leave the content usable; with an error
    there is none.
    """
    settings, site, problems = read_settings(root)
    riders, riders_file, found = read_riders(root)
    problems += found
    references, sources, found = read_references(root)
    problems += found
    routes, digests, found = read_routes(root)
    problems += found
    shelf = Shelf(root)
    guides, pages = shelf.texts("guides", "guide"), shelf.texts("pages", "page")
    terms, changelog = shelf.terms(), shelf.changelog()
    problems = sorted({*problems, *shelf.problems})
    if settings is None or any(problem.severity == "error" for problem in problems):
        return None, problems
    digests |= shelf.digests | _digests(site, riders_file, sources)
    return Content(
        settings=settings,
        riders=riders,
        routes=routes,
        guides=guides,
        terms=terms,
        pages=pages,
        references=references,
        changelog=changelog,
        digests=dict(sorted(digests.items())),
    ), problems


def _digests(*files: Marked | None) -> dict[str, str]:
    return {marked.file: marked.digest for marked in files if marked is not None}
