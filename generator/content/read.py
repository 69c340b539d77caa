"""Reads and checks the content folder as a whole.

* read_content    reads everything that people write, or every problem in it
"""

from pathlib import Path

from generator.content.model import Content
from generator.content.money.links import read_links
from generator.content.money.prices import read_prices
from generator.content.records import read_references, read_riders, read_settings
from generator.content.releases import read_releases
from generator.content.routes.read import read_routes
from generator.content.texts.read import TextReader
from generator.specs.problems import Problem


def read_content(root: Path) -> tuple[Content | None, list[Problem]]:
    """Read `content/` under the publication's root.

    Returns the content and every problem of every file, sorted. With an error the content is None;
    with warnings it is usable.
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
    reader = TextReader(root)
    guides = reader.read_texts("guides", "guide")
    pages = reader.read_texts("pages", "page")
    terms, lists = reader.read_terms(), reader.read_lists()
    changelog = reader.read_changelog()
    problems = sorted({*problems, *reader.problems})
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
