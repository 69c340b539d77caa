"""Pages that stand behind the rest: method, data, the texts of `content/pages`, changes, not found."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from generator.figures import show
from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.figures.model import Kind
from generator.figures.simulation import physics
from generator.figures.table import downloads
from generator.pages.frame import numbers, structured_data, urls
from generator.pages.frame.jobs import Job, asking
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Page, Renderer
from generator.pages.prose.headings import headings
from generator.specs.read import SCHEMA, own_schema

FILES = {
    "data/figures.csv": "Every figure of every bike, one row each.",
    "data/figures.json": "The same as JSON.",
    "data/kinds.csv": "What each figure is: title, unit, words, formula, source and conditions.",
    "data/datapackage.json": "The description of the tables as a Frictionless data package: fields, types, keys, licence.",
    urls.SCHEMA: "What a bike's spec file may say, as a JSON Schema.",
}
"""What each download is, by its path; the main ones first."""
MAIN = 2
"""How many of them are the data set itself."""
_MEDIA = {"csv": "text/csv", "json": "application/json"}


@dataclass(frozen=True)
class Entry:
    """One way of working something out, and the figures that it gives."""

    anchors: list[str]
    kinds: list[Kind]
    terms: list[tuple[str, str]]
    """Title and link of the glossary terms that explain them."""


def jobs(renderer: Renderer) -> Iterator[Job]:
    """The data and its page, and all others."""
    yield Job(partial(_data, renderer))
    yield asking(renderer, renderer.excerpts.of_pages, _texts)


def _texts(renderer: Renderer) -> Iterator[Output]:
    yield renderer.render_page(_method(renderer))
    for slug in sorted(renderer.texts):
        if slug != "method":
            yield renderer.render_page(_plain(renderer, slug))
    if renderer.content.changelog:
        yield renderer.render_page(_changelog(renderer))
    yield renderer.render_page(
        Page(
            path=urls.NOT_FOUND,
            template="not_found.html",
            title="Page not found",
            description="There is no page at this address.",
        )
    )


def _method(renderer: Renderer) -> Page:
    groups: dict[str, dict[tuple[str, str], list[Kind]]] = defaultdict(dict)
    for kind in renderer.table.kinds.values():
        groups[kind.group].setdefault((kind.words, kind.formula), []).append(kind)
    entries = {
        group: [
            Entry(
                [numbers.method_anchor(kind.id) for kind in kinds],
                kinds,
                _explaining(renderer, kinds),
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
        headings=headings(body),
        values={
            "body": body,
            "groups": list(entries.items()),
            "assumptions": _assumptions(renderer),
            "symbols": physics.SYMBOLS,
            "rooms": physics.rooms(),
            "references": renderer.content.references,
        },
    )


def _explaining(renderer: Renderer, kinds: list[Kind]) -> list[tuple[str, str]]:
    terms = dict.fromkeys(term for kind in kinds if (term := renderer.explaining(kind.id)))
    return [(term.title, urls.link(urls.METHOD, urls.term(term.slug))) for term in terms]


def _assumptions(renderer: Renderer) -> list[tuple[str, str, str, str]]:
    """Title, value, span and reason of everything that is assumed where a sheet is silent."""
    rows = []
    for one in ASSUMPTIONS.values():
        scale = one.unit.us if renderer.system == "us" else one.unit.metric
        ends = [show.quantity(end, scale) for end in (one.low, one.high)]
        span = "" if one.low == one.high else " to ".join(ends)
        rows.append((one.title, show.quantity(one.value, scale), span, one.source))
    return rows


def _data(renderer: Renderer) -> Iterator[Output]:
    path = urls.DATA
    parts = renderer.of_each(
        "lines of the downloads", lambda alone, bike: downloads.rows(alone.table)
    )
    files = downloads.downloads(
        renderer.table, renderer.settings.title, renderer.settings.licence, parts.values()
    )
    schema = renderer.root / SCHEMA
    if schema.is_file() and own_schema(renderer.root)[0] is not None:  # no file from elsewhere
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
                structured_data.dataset(
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
    """Path of a bike's own download."""
    return f"data/bikes/{slug}.json"


def _plain(renderer: Renderer, slug: str) -> Page:
    text = renderer.texts[slug]
    path = urls.page(slug)
    body = renderer.prose(text, path)
    return Page(
        path=path,
        template="text.html",
        title=text.title,
        description=text.summary,
        headings=headings(body),
        values={"text": text, "body": body, "next": []},
    )


def _changelog(renderer: Renderer) -> Page:
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
