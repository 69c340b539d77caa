"""Reference pages: method, data to download, the texts of `content/pages`, the changelog, and "not found"."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures import show
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.model import FigureKind
from generator.figures.simulation import physics
from generator.figures.table import downloads
from generator.pages.frame import numbers, structured_data, urls
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer
from generator.pages.prose.headings import find_headings
from generator.specs.read import SCHEMA, find_bike_schema

FILES = {
    "data/figures.csv": "Every figure of every bike, one row each.",
    "data/figures.json": "The same as JSON.",
    "data/kinds.csv": "What each figure is: title, unit, words, formula, source and conditions.",
    "data/datapackage.json": "The description of the tables as a Frictionless data package: fields, types, keys, licence.",
    urls.SCHEMA: "What a bike's spec file may say, as a JSON Schema.",
}
"""Description of each download, by path; the data set itself comes first."""
MAIN = 2
"""Number of downloads that are the data set itself."""
_MEDIA = {"csv": "text/csv", "json": "application/json"}


@dataclass(frozen=True)
class MethodEntry:
    """An entry of the method page: a formula and the kinds of figures that it gives."""

    anchors: list[str]
    kinds: list[FigureKind]
    terms: list[tuple[str, str]]
    """Title and link of the glossary terms that explain the kinds."""


def plan_jobs() -> Iterator[Job]:
    """Yield a job for the data and its page, and one for all other pages."""
    yield Job(_make_data, long=True)
    yield Job(_make_texts, long=True)


def _make_texts(renderer: Renderer) -> Iterator[Output]:
    yield renderer.render_page(_method_page(renderer))
    for slug in sorted(renderer.texts):
        if slug != "method":
            yield renderer.render_page(_text_page(renderer, slug))
    if renderer.content.changelog:
        yield renderer.render_page(_changelog_page(renderer))
    yield renderer.render_page(
        Page(
            path=urls.NOT_FOUND,
            template="not_found.html",
            title="Page not found",
            description="There is no page at this address.",
        )
    )


def _method_page(renderer: Renderer) -> Page:
    groups: dict[str, dict[tuple[str, str], list[FigureKind]]] = defaultdict(dict)
    for kind in renderer.table.kinds.values():
        groups[kind.group].setdefault((kind.words, kind.formula), []).append(kind)
    entries = {
        group: [
            MethodEntry(
                [numbers.method_anchor(kind.id) for kind in kinds],
                kinds,
                _find_terms(renderer, kinds),
            )
            for kinds in methods.values()
        ]
        for group, methods in groups.items()
    }
    text = renderer.texts.get("method")
    body = renderer.prose(text, urls.METHOD) if text else Markup("")
    return Page(
        path=urls.METHOD,
        template="method.html",
        title=text.title if text else "Method",
        description=text.summary
        if text
        else "How every figure is worked out, and from which source.",
        headings=find_headings(body),
        values={
            "body": body,
            "groups": list(entries.items()),
            "assumptions": _list_assumptions(renderer),
            "symbols": physics.SYMBOLS,
            "rooms": physics.describe_modules(),
            "references": renderer.content.references,
        },
    )


def _find_terms(renderer: Renderer, kinds: list[FigureKind]) -> list[tuple[str, str]]:
    terms = dict.fromkeys(term for kind in kinds if (term := renderer.explaining(kind.id)))
    return [(term.title, urls.link(urls.METHOD, urls.term(term.slug))) for term in terms]


def _list_assumptions(renderer: Renderer) -> list[tuple[str, str, str, str]]:
    """Return title, value, range and reason of each assumption made where a spec file says nothing."""
    rows = []
    for one in ASSUMPTIONS.values():
        scale = one.unit.us if renderer.system == "us" else one.unit.metric
        ends = [show.format_quantity(end, scale) for end in (one.low, one.high)]
        span = "" if one.low == one.high else " to ".join(ends)
        rows.append((one.title, show.format_quantity(one.value, scale), span, one.source))
    return rows


def _make_data(renderer: Renderer) -> Iterator[Output]:
    path = urls.DATA
    parts = renderer.for_each_bike(
        "lines of the downloads",
        downloads.FigureLines,
        lambda alone, bike: downloads.format_figure_lines(alone.table, bike.slug),
    )
    files = downloads.make_downloads(
        renderer.table, renderer.settings.title, renderer.settings.licence, parts.values()
    )
    schema = renderer.root / SCHEMA
    if (
        schema.is_file() and find_bike_schema(renderer.root)[0] is not None
    ):  # no file from elsewhere
        files[urls.SCHEMA] = schema.read_bytes()
    listed = [(name, _MEDIA[name.rsplit(".", 1)[-1]], words) for name, words in FILES.items()]
    description = (
        f"Every figure of {renderer.settings.title} in long form: bike, figure, value in SI units, unit, "
        "low and high end of the interval, and basis."
    )
    yield renderer.render_page(
        Page(
            path=path,
            template="data.html",
            title="Data to download",
            description=description,
            data=(
                structured_data.build_dataset(
                    f"{renderer.settings.title}: figures",
                    description,
                    renderer.address(path),
                    renderer.settings.licence,
                    renderer.settings.title,
                    [(media, renderer.address(name)) for name, media, _ in listed[:MAIN]],
                ),
            ),
            values={
                "files": [
                    (
                        name.rsplit("/", 1)[-1],
                        words,
                        f"{media}, {len(files[name]) / 1000:.0f} kB",
                        urls.link(path, name),
                    )
                    for name, media, words in listed
                    if name in files
                ],
                "example": next(
                    (urls.link(path, bike_file(bike.slug)) for bike in renderer.table.bikes), ""
                ),
            },
        )
    )
    for name, data in files.items():
        yield Output(name, data)


def bike_file(slug: str) -> str:
    """Return the path of a bike's download."""
    return f"data/bikes/{slug}.json"


def _text_page(renderer: Renderer, slug: str) -> Page:
    text = renderer.texts[slug]
    path = urls.page(slug)
    body = renderer.prose(text, path)
    return Page(
        path=path,
        template="text.html",
        title=text.title,
        description=text.summary,
        headings=find_headings(body),
        values={"text": text, "body": body, "next": []},
    )


def _changelog_page(renderer: Renderer) -> Page:
    text = renderer.content.changelog
    assert text is not None
    return Page(
        path=urls.CHANGELOG,
        template="text.html",
        title=text.title,
        description=text.summary,
        values={
            "text": text,
            "body": renderer.prose(text, urls.CHANGELOG),
            "next": [],
        },
    )
