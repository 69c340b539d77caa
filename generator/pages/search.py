"""The search page, its data, and the search library.

The index is built in the browser, on the search page alone. `templates/vendor` holds MiniSearch as published; readers
get it without comments, below its licence.
"""

import re
from collections.abc import Iterator, Sequence
from functools import cache

from generator.figures.model import FigureKind
from generator.pages.frame import numbers, urls
from generator.pages.frame.browser_data import make_data_file
from generator.pages.frame.output import Output, PageSummary
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike
from generator.specs.program import TEMPLATES

KINDS = ("bike", "guide", "term", "page", "figure")
"""Kinds of rows; a row begins with the index of its kind. templates/scripts/search.js lists their words in this order."""
LIBRARY = "minisearch"
_VENDOR = TEMPLATES / "vendor"

_COMMENT = re.compile(r"^[ \t]*(?:/\*.*?\*/|//[^\n]*)[ \t]*\n", re.DOTALL | re.MULTILINE)
_INDENT = re.compile(r"^[ \t]+", re.MULTILINE)

SearchRow = tuple[int, str, str, str, str]
"""Index of the kind, path, title, summary, and further words to search in."""


def outputs(renderer: Renderer) -> Iterator[Output]:
    """Yield the search page."""
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


def outputs_of_index(renderer: Renderer, rendered: Sequence[PageSummary]) -> Iterator[Output]:
    """Yield the search data of bikes, terms, figures and rendered pages, and the search library."""
    rows = [
        *_bike_rows(renderer),
        *_guide_rows(renderer, rendered),
        *_term_rows(renderer),
        *_page_rows(rendered),
        *_figure_rows(renderer),
    ]
    yield make_data_file(urls.SEARCH_DATA, rows)
    yield Output(urls.script(LIBRARY), build_search_library())


@cache
def build_search_library() -> bytes:
    """Return MiniSearch for the browser: its licence, then its code without comments and indents."""
    code = (_VENDOR / "minisearch.js").read_text("utf-8")
    licence = (_VENDOR / "minisearch.LICENSE").read_text("utf-8")
    lean = _INDENT.sub("", _COMMENT.sub("", code))
    return f"/*! MiniSearch\n{licence.strip()} */\n{lean}".encode()


def _make_row(kind: str, path: str, title: str, summary: str, *more: str) -> SearchRow:
    return (KINDS.index(kind), path, title, summary, " ".join(filter(None, more)))


def _bike_rows(renderer: Renderer) -> Iterator[SearchRow]:
    for bike in renderer.table.bikes:
        yield _make_row(
            "bike", urls.bike(bike.slug), bike.full_name, bike.summary, *_list_bike_words(bike)
        )


def _list_bike_words(bike: Bike) -> Iterator[str]:
    yield from bike.uses
    yield from (f"{bike.motor.place} motor", bike.frame, bike.drivetrain.shifting)
    yield bike.drivetrain.drive if bike.drivetrain.drive == "belt" else ""
    yield f"{bike.assist.sensor} sensor" if bike.assist.sensor else ""
    yield "throttle" if bike.assist.throttle else ""
    yield bike.status if bike.status != "on sale" else ""


def _guide_rows(renderer: Renderer, rendered: Sequence[PageSummary]) -> Iterator[SearchRow]:
    found = {page.path: page.headings for page in rendered}
    for guide in renderer.content.guides:
        path = urls.guide(guide.slug)
        yield _make_row("guide", path, guide.title, guide.summary, *found.get(path, ()))


def _term_rows(renderer: Renderer) -> Iterator[SearchRow]:
    for term in renderer.content.terms:
        yield _make_row("term", urls.term(term.slug), term.title, term.summary, *term.aliases)


def _page_rows(rendered: Sequence[PageSummary]) -> Iterator[SearchRow]:
    """Yield the pages at the top of the site and the lists, but no pages below them; sorted by path."""
    for page in sorted(rendered, key=lambda page: page.path):
        folder = page.path.rsplit("/", 1)[0]
        top = "/" not in folder or (
            folder.startswith(("uses/", "lists/")) and folder.count("/") == 1
        )
        if not top or page.path in (urls.HOME, urls.NOT_FOUND, urls.SEARCH):
            continue
        yield _make_row("page", page.path, page.title, page.description, *page.headings)


def _figure_rows(renderer: Renderer) -> Iterator[SearchRow]:
    """Each way of working something out, once, where the method page explains it."""
    first: dict[tuple[str, str, str], FigureKind] = {}
    for kind in renderer.table.kinds.values():
        first.setdefault((kind.group, kind.words, kind.formula), kind)
    for kind in first.values():
        yield _make_row("figure", numbers.method_entry_path(kind.id), kind.title, kind.words)
