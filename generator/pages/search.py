"""Search: the page, what it looks through, and the library that looks.

The index is built in the browser, on the search page alone. MiniSearch is kept in `templates/vendor` as it was published;
what is sent to readers is that file without its comments, under its licence.
"""

import re
from collections.abc import Iterator
from functools import cache

from generator.figures.model import Kind
from generator.pages.frame import numbers, urls
from generator.pages.frame.browser_data import data_file
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Page, Renderer
from generator.specs.bike import Bike
from generator.specs.program import TEMPLATES

KINDS = ("bike", "guide", "term", "page", "figure")
"""A row begins with the place of its kind here; templates/scripts/search.js has their words in the same order."""
LIBRARY = "minisearch"
_VENDOR = TEMPLATES / "vendor"

_COMMENT = re.compile(r"^[ \t]*(?:/\*.*?\*/|//[^\n]*)[ \t]*\n", re.DOTALL | re.MULTILINE)
_INDENT = re.compile(r"^[ \t]+", re.MULTILINE)

Row = tuple[int, str, str, str, str]
"""Kind, address from the site's root, title, summary, other words to be found by."""


def outputs(renderer: Renderer) -> Iterator[Output]:
    yield renderer.render_page(
        Page(
            path=urls.SEARCH,
            template="search.html",
            title="Search",
            description="Find a bike, a guide, a word of the trade, a figure or a page.",
            scripts=("search",),
            values={
                "lists": [
                    ("All bikes, by maker", urls.BIKES),
                    ("The guides", urls.GUIDES),
                    ("The glossary, from A to Z", urls.GLOSSARY),
                    ("How each figure is worked out", urls.METHOD),
                ]
            },
        )
    )


def data(renderer: Renderer) -> Iterator[Output]:
    """After all pages were printed: everything that can be found, and the library."""
    rows = [
        *_bikes(renderer),
        *_guides(renderer),
        *_terms(renderer),
        *_pages(renderer),
        *_figures(renderer),
    ]
    yield data_file(urls.SEARCH_DATA, rows)
    yield Output(urls.script(LIBRARY), searcher())


@cache
def searcher() -> bytes:
    """MiniSearch for the browser: its licence, then its code without comments and indents."""
    code = (_VENDOR / "minisearch.js").read_text("utf-8")
    licence = (_VENDOR / "minisearch.LICENSE").read_text("utf-8")
    lean = _INDENT.sub("", _COMMENT.sub("", code))
    return f"/*! MiniSearch\n{licence.strip()} */\n{lean}".encode()


def _row(kind: str, path: str, title: str, summary: str, *more: str) -> Row:
    return (KINDS.index(kind), path, title, summary, " ".join(filter(None, more)))


def _bikes(renderer: Renderer) -> Iterator[Row]:
    for bike in renderer.table.bikes:
        yield _row("bike", urls.bike(bike.slug), bike.full_name, bike.summary, *_words_of(bike))


def _words_of(bike: Bike) -> Iterator[str]:
    yield from bike.uses
    yield from (f"{bike.motor.place} motor", bike.frame, bike.drivetrain.shifting)
    yield bike.drivetrain.drive if bike.drivetrain.drive == "belt" else ""
    yield f"{bike.assist.sensor} sensor" if bike.assist.sensor else ""
    yield "throttle" if bike.assist.throttle else ""
    yield bike.status if bike.status != "on sale" else ""


def _guides(renderer: Renderer) -> Iterator[Row]:
    found = {page.path: page.headings for page in renderer.pages}
    for guide in renderer.content.guides:
        path = urls.guide(guide.slug)
        yield _row("guide", path, guide.title, guide.summary, *found.get(path, ()))


def _terms(renderer: Renderer) -> Iterator[Row]:
    for term in renderer.content.terms:
        yield _row("term", urls.term(term.slug), term.title, term.summary, *term.aliases)


def _pages(renderer: Renderer) -> Iterator[Row]:
    """Pages at the top of the site and the lists by use; not the many that stand under them. By path, whoever came first."""
    for page in sorted(renderer.pages, key=lambda page: page.path):
        folder = page.path.rsplit("/", 1)[0]
        top = "/" not in folder or (
            folder.startswith(("uses/", "lists/")) and folder.count("/") == 1
        )
        if not top or page.path in (urls.HOME, urls.NOT_FOUND, urls.SEARCH):
            continue
        yield _row("page", page.path, page.title, page.description, *page.headings)


def _figures(renderer: Renderer) -> Iterator[Row]:
    """Each way of working something out, once, where the method page explains it."""
    first: dict[tuple[str, str, str], Kind] = {}
    for kind in renderer.table.kinds.values():
        first.setdefault((kind.group, kind.words, kind.formula), kind)
    for kind in first.values():
        yield _row("figure", numbers.explained_at(kind.id), kind.title, kind.words)
