"""Records of earlier figures of the small publication, and running lists over them."""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

from selectolax.lexbor import LexborHTMLParser

from generator.content.model import Content, RunningList
from generator.content.releases import Release
from generator.figures.records import record
from generator.figures.table.figures_table import FiguresTable
from generator.pages.frame.renderer import Renderer
from generator.pages.lists import running_lists
from tests.pages import site_example as example
from tests.pages.rendered import outputs_of

ALPA, BETA, GAMMA, DELTA = (bike.slug for bike in example.BIKES)
OCTOBER, NOVEMBER = date(2026, 10, 1), date(2026, 11, 1)
ATOM = "{http://www.w3.org/2005/Atom}"

FAR = RunningList(
    "far",
    "content/lists/far.md",
    "Far ones",
    "Bikes that go far.",
    "They go and go.\n",
    9,
    where=(("range.rolling", "at least 55 km"),),
    order_by="range.rolling",
    ascending=False,
    show=("range.rolling", "hills.steepest"),
    lines=(
        ("where.range.rolling", 5, 3),
        ("order_by", 6, 11),
        ("show.range.rolling", 7, 8),
        ("show.hills.steepest", 7, 23),
    ),
)


def released(
    day: date, lists: Mapping[str, tuple[str, ...]], table: FiguresTable | None = None
) -> Release:
    return record.make_record(table or example.table(), day, lists)


def with_figure(release: Release, slug: str, id: str, value: float) -> Release:
    """The record with another value of one figure, its interval in proportion."""
    numbers = value, 0.9 * value, 1.1 * value
    figures = {**release.figures, slug: {**release.figures[slug], id: numbers}}
    return replace(release, figures=figures)


def without_bike(release: Release, slug: str) -> Release:
    return replace(release, figures={k: v for k, v in release.figures.items() if k != slug})


def content(*releases: Release, lists: tuple[RunningList, ...] = (FAR,)) -> Content:
    return replace(example.CONTENT, lists=lists, releases=releases)


def renderer(given: Content, table: FiguresTable | None = None) -> Renderer:
    return Renderer(table or example.table(), given, Path("nowhere"))


def page(given: Content, path: str, table: FiguresTable | None = None) -> LexborHTMLParser:
    """One of the pages of the running lists."""
    made = renderer(given, table)
    for output in outputs_of(made, running_lists.plan_jobs(made)):
        if output.path == path:
            return LexborHTMLParser(output.data.decode())
    raise KeyError(path)


def words(node: LexborHTMLParser) -> str:
    """Text of a page's main part, with plain spaces."""
    said = " ".join(node.css_first("main").text(separator=" ").split())
    return re.sub(" ([.,:;)])", r"\1", said)


def entries(data: bytes) -> dict[str, tuple[str, str, str]]:
    """Id to title, day and content of a feed's entries."""
    found = {}
    for entry in ElementTree.fromstring(data).findall(f"{ATOM}entry"):
        id, title, updated, html = (
            entry.findtext(f"{ATOM}{name}") or "" for name in ("id", "title", "updated", "content")
        )
        found[id] = (title, updated[:10], html)
    return found
