"""The content folder, read and checked as a whole.

* read_content    everything that people write, or every problem in it
"""

from pathlib import Path

from generator.content.model import Content
from generator.content.money.links import read_links
from generator.content.money.prices import read_prices
from generator.content.records import read_references, read_riders, read_settings
from generator.content.releases import read_releases
from generator.content.routes.read import read_routes
from generator.content.texts.read import Shelf
from generator.specs.problems import Problem


def read_content(root: Path) -> tuple[Content | None, list[Problem]]:
    """Read `content/` under the publication's root.

    Returns every problem of every file, sorted. Warnings leave the content usable; with an error
    there is none.
    """
    settings, problems = read_settings(root)
    riders, found = read_riders(root)
    problems += found
    references, found = read_references(root)
    problems += found
    routes, found = read_routes(root)
    problems += found
    releases, found = read_releases(root)
    problems += found
    links, found = read_links(root)
    problems += found
    prices, found = read_prices(root)
    problems += found
    shelf = Shelf(root)
    guides, pages = shelf.texts("guides", "guide"), shelf.texts("pages", "page")
    terms, changelog, lists = shelf.terms(), shelf.changelog(), shelf.lists()
    problems = sorted({*problems, *shelf.problems})
    if settings is None or any(problem.severity == "error" for problem in problems):
        return None, problems
    return Content(
        settings=settings,
        riders=riders,
        routes=routes,
        guides=guides,
        terms=terms,
        pages=pages,
        references=references,
        changelog=changelog,
        lists=lists,
        releases=releases,
        prices=prices,
        links=links,
        day=settings.updated,
    ), problems
