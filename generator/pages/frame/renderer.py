"""What every page is printed with: the templates, the frame around a page, numbers, prose and charts.

* Page    one page before it is printed: its template and what the template shows
* Renderer    prints sheets; gathers the problems of the texts on the way
"""

import hashlib
import re
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from copy import copy
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any, Literal, TypeVar, cast

from jinja2 import BytecodeCache, Environment, StrictUndefined, TemplateError
from markupsafe import Markup, escape

from generator.charts import embed
from generator.content.excerpts import Excerpt, Excerpts
from generator.content.model import Content, RunningList, Term, Text
from generator.figures.criteria.criteria import Criteria, Judgement
from generator.figures.model import Figure
from generator.figures.table.figures_table import FiguresTable
from generator.law.verdicts import Verdict, day_of
from generator.pages.feed.releases import History
from generator.pages.frame import disclosure, head, numbers, structured_data, templates, urls
from generator.pages.frame.disclosure_guard import Due, faults
from generator.pages.frame.memo import Keeper, made_anew
from generator.pages.frame.output import Output
from generator.pages.frame.recorder import Answers, Witness
from generator.pages.prose import glossary_links
from generator.pages.prose import render as prose_render
from generator.specs.bike import Bike
from generator.specs.problems import Problem, ProblemsFound

V = TypeVar("V")

_DAY = re.compile(r"\b(\d{4}-\d\d-\d\d)\b")

NAVIGATION = (
    ("Choose", urls.CHOOSE),
    ("Bikes", urls.BIKES),
    ("Compare", urls.COMPARE),
    ("Guides", urls.GUIDES),
    ("Glossary", urls.GLOSSARY),
    ("Search", urls.SEARCH),
)


@dataclass(frozen=True)
class Page:
    path: str
    template: str
    """Name under `templates/pages/`."""
    title: str
    description: str
    values: Mapping[str, Any] = field(default_factory=dict)
    above: tuple[tuple[str, str], ...] = ()
    """Words and path of the pages between the home page and this one."""
    data: tuple[dict[str, Any], ...] = ()
    """Structured data beside the breadcrumb."""
    headings: tuple[str, ...] = ()
    """Of its text, by which the page is found."""
    scripts: tuple[str, ...] = ()
    """Bundles that the page needs beside that of every page; see `assets.SCRIPTS`."""
    terms: frozenset[str] = frozenset()
    """Glossary terms that its text leads to, by slug."""


class Renderer:
    def __init__(
        self,
        table: FiguresTable,
        content: Content,
        root: Path,
        convert: embed.Convert = embed.convert,
        keeper: Keeper = made_anew,
        bytecode: BytecodeCache | None = None,
    ) -> None:
        self.root = root
        self.table = table
        self.settings = content.settings
        self.excerpts = Excerpts(content)
        self._sections = content.sections
        self._shown: dict[int, tuple[Content, dict[str, Text], dict[str, Term]]] = {}
        """By the content's identity, which nothing else has while the content is kept beside it: its pages by slug, and
        which term explains which figure."""
        self._show(content)
        self.problems: list[Problem] = []
        self.day = day_of(content.settings, table.bikes)
        """The day whose law holds, if any."""
        self.verdicts: dict[str, tuple[Bike, tuple[Verdict, ...]]] = {}
        """What the rules call each bike that was asked about, by slug; see `legal`."""
        self.pages: list[Page] = []
        """Those printed so far, without what their templates show."""
        self._head = head.Head(content, table.bikes, root)
        self.convert = convert
        self._keeper = keeper
        self._answers = Answers(table)
        self._due = Due(content.links)
        self._environment = environment(root, bytecode)
        self._prose: dict[tuple[str, int], Markup] = {}
        self._numbers: dict[tuple[int, bool], tuple[Figure, Markup]] = {}
        """By the figure's identity, which nothing else has while the figure is kept beside it."""

    def _show(self, content: Content) -> None:
        if id(content) not in self._shown:
            texts = {text.slug: text for text in content.pages}
            explained = glossary_links.explained(content.terms)
            self._shown[id(content)] = content, texts, explained
        self.content, self.texts, self._explained = self._shown[id(content)]

    @cached_property
    def history(self) -> History:
        """The records of what was published, beside the table of now."""
        return History(self.table, self.content, self._judged)

    def _judged(
        self, table: FiguresTable, running: RunningList, criteria: Criteria
    ) -> dict[str, Judgement]:
        return self.of_each(
            f"rule of {running.slug}",
            lambda alone, bike: criteria.of(alone.table, bike),
            running.where,
        )

    def compile(self) -> None:
        """Have all templates at hand, before processes are forked that would compile them one by one.

        One that cannot be compiled is told when it is used.
        """
        for name in templates.names():
            with suppress(TemplateError, ProblemsFound):
                self._environment.get_template(name)

    def only(self, *bikes: Bike) -> "Renderer":
        """The same press with nothing of the catalogue but these bikes, so that what it prints depends on no other; and
        with nothing of the content but what is for pages of bikes."""
        mine = self._with(self.table.only(*(bike.slug for bike in bikes)), self.excerpts.of_bikes)
        mine._keeper = made_anew  # what is kept is of the whole catalogue
        return mine

    def untold(self) -> "Renderer":
        """The same press with nothing of the content but what is for pages of bikes."""
        return self._with(self.table, self.excerpts.of_bikes)

    def noting(self, content: Excerpt) -> "tuple[Renderer, Witness]":
        """The same press for one job, and the witness that notes what the job asks of the catalogue."""
        witness = Witness(self.table, self._answers)
        return self._with(cast("FiguresTable", witness), content), witness

    def _with(self, table: FiguresTable, content: Excerpt) -> "Renderer":
        """The same press with another table and content, and with nothing that was printed from its own."""
        mine = copy(self)
        mine._show(content.content)
        mine.table = table
        mine._prose = {}  # a text is printed with the figures of a table
        mine.__dict__.pop("history", None)
        return mine

    def reads(self, bikes: Sequence[Bike], *more: object, content: Excerpt | None = None) -> str:
        """What `pages.crew.Job.reads` says of a job with these bikes alone; empty where their files are not marked.

        `content` is what it sees of the content: what is for pages of bikes, when left out.
        """
        marks = [self.table.marks.get(bike.slug, "") for bike in bikes]
        if not all(marks):
            return ""
        slugs = [bike.slug for bike in bikes]
        told = (content or self.excerpts.of_bikes).told
        return repr((slugs, marks, told, self._kinds, self.day, *more))

    def of_each(
        self, name: str, say: Callable[["Renderer", Bike], V], *more: object
    ) -> dict[str, V]:
        """What `say` says of each bike of the catalogue, by slug. It sees nothing of the others, and prints nothing.

        `name` is its own; `more` is what it depends on beside the bike, and may be kept from an earlier build.
        """
        bikes = {bike.slug: bike for bike in self.table.bikes}
        reads = {slug: self.reads([bike], name, *more) for slug, bike in bikes.items()}
        return self._keeper(name, reads, lambda slug: say(self.only(bikes[slug]), bikes[slug]))

    @cached_property
    def _kinds(self) -> str:
        """Hash of the kinds of figures that the bikes of the catalogue have."""
        return hashlib.sha256(repr(self.table.kinds).encode()).hexdigest()

    @property
    def system(self) -> Literal["metric", "us"]:
        """The unit system that comes first."""
        return "us" if self.settings.units == "us" else "metric"

    def render_page(self, page: Page) -> Output:
        """The sheet as a finished page."""
        self.pages.append(replace(page, values={}, data=()))
        with templates.as_problem(self.root):
            template = self._environment.get_template(f"pages/{page.template}")
            html = template.render(**self._frame(page), **page.values)
        html = disclosure.disclosed(self._with_charts(html, page), self.settings.disclosure)
        self.problems += faults(page.path, html, self._due, self.root)
        return Output(page.path, html.encode())

    def _with_charts(self, html: str, page: Page) -> str:
        """A page with a chart gets the script that lets readers explore it."""
        if " data-chart=" not in html or "charts" in page.scripts:
            return html
        source = self._linker(page.path)(urls.script("charts"))
        return html.replace("</head>", f'<script src="{source}" defer></script>\n</head>', 1)

    def prose(self, text: Text, path: str) -> Markup:
        """A text as HTML for the page at `path`; its problems are kept for the end of the run."""
        key = (text.file, urls.depth(path))
        if key not in self._prose:
            html, problems = prose_render.render(
                text, self.table, self.content, depth=key[1], root=self.root
            )
            self.problems += problems
            self._prose[key] = Markup(urls.files_named(html))
        return self._prose[key]

    def number(
        self, figure: Figure | None, path: str, *, interval: bool = False, linked: bool = True
    ) -> Markup:
        """A figure as the page at `path` shows it, linked to its derivation."""
        if figure is None:
            return numbers.NOT_KNOWN
        data = self._number(figure, interval)
        if not linked:
            return data
        target = f"{urls.bike(figure.bike)}#{numbers.anchor(figure.id)}"
        return numbers.led_to(data, urls.link(path, target))

    def _number(self, figure: Figure, interval: bool) -> Markup:
        """A figure stands on many pages, and reads the same on each."""
        kept = self._numbers.get((id(figure), interval))
        if kept is None:
            html = numbers.figure_html(figure, interval=interval, first=self.system)
            kept = self._numbers[id(figure), interval] = (figure, html)
        return kept[1]

    def chart(self, slug: str, name: str, *, numbers_in: str = "") -> Markup:
        """A chart; `numbers_in` is the id of a table on the page that holds its numbers already."""
        return embed.figure_for(
            self.table,
            slug,
            name,
            system=self.system,
            convert=self.convert,
            numbers_in=numbers_in,
        )

    def term_of(self, kind_id: str, path: str) -> str | None:
        """Link from the page at `path` to the glossary term that explains a kind of figure, if one does."""
        term = self.explaining(kind_id)
        return urls.link(path, urls.term(term.slug)) if term else None

    def explaining(self, kind_id: str) -> Term | None:
        """The glossary term that explains a kind of figure."""
        return glossary_links.term_of(kind_id, self._explained)

    def address(self, path: str) -> str:
        """Absolute address."""
        return urls.address(self.settings.address, path)

    def _frame(self, page: Page) -> dict[str, Any]:
        trail = (("Home", urls.HOME), *page.above)
        link = self._linker(page.path)
        crumbs = [(words, link(path)) for words, path in trail]
        whole = [(words, self.address(path)) for words, path in trail]
        whole.append((page.title, self.address(page.path)))
        inner = page.path not in (urls.HOME, urls.NOT_FOUND)
        data = (structured_data.breadcrumb(whole), *page.data) if inner else page.data
        lists, changelog, prices = self._sections
        return {
            "site": self.settings,
            "page": page,
            "link": link,
            "crumbs": crumbs if inner else [],
            "address": self.address(page.path),
            "canonical": page.path != urls.NOT_FOUND,
            **self._head.values(page.path, page.title),
            "cautions": link(urls.CAUTIONS) if "cautions" in self.texts else "",
            "navigation": [
                (words, link(path), page.path.split("/")[0] == path.split("/")[0])
                for words, path in NAVIGATION
            ],
            "footer": [
                (words, link(path))
                for words, path in (
                    *self._own_pages("about"),
                    ("How each figure is worked out", urls.METHOD),
                    ("What makers claim", urls.CLAIMS),
                    ("What the law calls a bike", urls.LAW),
                    ("Report card of the model", urls.REPORT_CARD),
                    ("Data to download", urls.DATA),
                    *self._own_pages("cautions", "testing", "contributing"),
                    ("Add or correct a bike", urls.CONTRIBUTE),
                    *([("Running lists", urls.LISTS)] if lists else []),
                    *([("Changes", urls.CHANGELOG)] if changelog else []),
                    ("What moved", urls.CHANGES),
                    ("Feed of changes", urls.FEED),
                )
            ],
            "first_units": self.system,
            "prices": link(urls.PRICES) if prices else "",
            "disclosure_top": disclosure.TOP,
            "disclosure_here": disclosure.PLACE,
            "scripts": [link(urls.script(name)) for name in ("site", *page.scripts)],
            "structured": [structured_data.script_text(item) for item in data],
        }

    def _own_pages(self, *slugs: str) -> list[tuple[str, str]]:
        """Title and path of those pages that the publication has written."""
        return [(self.texts[slug].title, urls.page(slug)) for slug in slugs if slug in self.texts]

    def _linker(self, origin: str) -> Callable[[str], str]:
        if (
            origin == urls.NOT_FOUND
        ):  # a host shows it at any depth, where only a whole address leads home
            return lambda target: target if target.startswith("assets/") else self.address(target)
        return lambda target: urls.link(origin, target)


def day(when: date) -> str:
    """A date in words: 4 October 2026."""
    return f"{when.day} {when:%B} {when.year}"


def dated(when: date) -> Markup:
    """The same as HTML that machines can read; the filter `day` of every template."""
    return Markup(f'<time datetime="{when.isoformat()}">{day(when)}</time>')


def with_days(text: str) -> Markup:
    """Plain text as HTML, its days as `dated` writes them; the filter `with_days`, for sources as figures name them."""
    return Markup(_DAY.sub(_as_day, str(escape(text))))


def _as_day(found: re.Match[str]) -> str:
    try:
        return str(dated(date.fromisoformat(found[0])))
    except ValueError:  # looks like a day and is none
        return found[0]


def environment(root: Path, bytecode: BytecodeCache | None = None) -> Environment:
    """Of the publication at `root`; `bytecode` may have templates that were compiled before."""
    environment = Environment(
        loader=templates.loader(root),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        bytecode_cache=bytecode,
    )
    environment.filters["day"] = dated
    environment.filters["with_days"] = with_days
    return environment
