"""Renders pages from templates, with their frame, numbers, running text and charts.

* Renderer           renders pages, and collects the problems of texts
* make_environment   the templates of a publication
* compile_templates  compiles them before processes are forked
"""

from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from copy import copy
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, Literal, cast

from jinja2 import Environment, StrictUndefined, TemplateError
from markupsafe import Markup

from generator.charts import embed
from generator.content.model import Content, RunningList, Term, Text
from generator.figures.criteria.criteria import Criteria, Judgement
from generator.figures.model import Figure
from generator.figures.table.figures_table import FiguresTable
from generator.law.verdicts import LegalVerdict
from generator.pages.feed.releases import ReleaseHistory
from generator.pages.frame import head, numbers, structured_data, templates, urls
from generator.pages.frame.dates import format_date, format_dates_in_text
from generator.pages.frame.drawings import Drawings
from generator.pages.frame.memo import BikeMemo, V
from generator.pages.frame.output import Output, PageSummary
from generator.pages.frame.page import Page
from generator.pages.frame.recorder import RecordedContent, RecordedTable, Recorder, Source
from generator.pages.notices import disclosure
from generator.pages.notices.disclosure_guard import LinksToDisclose, find_undisclosed_links
from generator.pages.prose import glossary_links
from generator.pages.prose import render as prose_render
from generator.specs.bike import Bike
from generator.specs.problems import Problem, ProblemsFound

NAVIGATION = (
    ("Choose", urls.CHOOSE),
    ("Bikes", urls.BIKES),
    ("Compare", urls.COMPARE),
    ("Guides", urls.GUIDES),
    ("Glossary", urls.GLOSSARY),
    ("Search", urls.SEARCH),
)


@dataclass(frozen=True)
class _Shared:
    """What a renderer and its copies for jobs have in common."""

    environment: Environment
    head: head.PageHead
    must_disclose: LinksToDisclose
    page_titles: Mapping[str, str]
    """Title of each page that the publication has written, by slug."""
    explained: dict[str, Term]
    """The glossary term that explains each kind of figure."""
    numbers: dict[tuple[int, bool], tuple[Figure, Markup]]
    """HTML of figures, by identity of the figure; the figure is kept beside it so that its identity stays unique."""
    verdicts: dict[str, tuple[Bike, tuple[LegalVerdict, ...]]]
    """Legal verdicts on each bike that was judged, by slug; `pages.law` fills it."""
    values: dict[str, Any]
    """Values of `Renderer.share`, by name."""


class Renderer:
    """Renders pages of a publication from a figures table and content."""

    def __init__(
        self,
        table: FiguresTable,
        content: Content,
        root: Path,
        drawings: Drawings | None = None,
        memo: BikeMemo | None = None,
        environment: Environment | None = None,
    ) -> None:
        """Render pages of the publication at `root`, whose own templates replace those of the program.

        `drawings` may store drawings, `memo` values computed for each bike, and `environment` compiled templates.
        """
        self.root = root
        self.source = Source(table, content)
        self.table, self.content = table, content
        self.settings = content.settings
        self.drawings = drawings or Drawings()
        self.problems: list[Problem] = []
        self.pages: list[PageSummary] = []
        """Pages rendered so far."""
        self._memo = memo or BikeMemo()
        self._recorder: Recorder | None = None
        self._prose: dict[tuple[str, int], Markup] = {}
        self._shared = _Shared(
            environment or make_environment(root),
            head.PageHead(content, table.bikes, root),
            LinksToDisclose(content.links),
            {text.slug: text.title for text in content.page_index},
            glossary_links.find_figure_terms(content.term_index),
            {},
            {},
            {},
        )

    def record(self) -> tuple["Renderer", Recorder]:
        """Return a copy for one job, with no pages or problems yet, and the recorder of the job's queries."""
        recorder = Recorder(self.source)
        table = cast("FiguresTable", RecordedTable(recorder))
        return self._with(table, cast("Content", RecordedContent(recorder)), recorder), recorder

    def with_table(self, table: FiguresTable) -> "Renderer":
        """Return a copy that renders from another table, with no pages or problems yet."""
        mine = self._with(table, self.source.content, None)
        mine.source = Source(table, self.source.content)
        mine._shared = replace(self._shared, values={})
        return mine

    def _with(self, table: FiguresTable, content: Content, recorder: Recorder | None) -> "Renderer":
        mine = copy(self)
        mine.table, mine.content, mine._recorder = table, content, recorder
        mine.settings = content.settings
        mine.problems, mine.pages, mine._prose = [], [], {}
        mine.__dict__.pop("history", None)
        return mine

    def _note(self, query: str) -> None:
        """Record a query whose answer is shared by all jobs."""
        if self._recorder:
            self._recorder.note(query)

    @property
    def day(self) -> Any:
        """The day whose law is applied; None where nothing determines it. [date]"""
        return self._recorder.day if self._recorder else self.source.day

    @property
    def verdicts(self) -> dict[str, tuple[Bike, tuple[LegalVerdict, ...]]]:
        """Legal verdicts on each bike that was judged, by slug; `pages.law` fills it."""
        return self._shared.verdicts

    @cached_property
    def history(self) -> ReleaseHistory:
        """The history of published figures up to the present table, which records queries."""
        return ReleaseHistory(self.table, self.content, self._judge_bikes)

    @property
    def whole_history(self) -> ReleaseHistory:
        """The history of published figures up to all present bikes, computed once for all jobs."""
        self._note("content.releases")
        self._note("content.lists")
        return self.share("history", lambda renderer: renderer.history)

    def _judge_bikes(
        self, table: FiguresTable, running: RunningList, criteria: Criteria
    ) -> dict[str, Judgement]:
        def judge(alone: Renderer, bike: Bike) -> Judgement:
            return criteria.judge_bike(alone.table, bike)

        return self.for_each_bike(f"rule of {running.slug}", Judgement, judge, running.where)

    def for_each_bike(
        self, name: str, kind: type[V], compute: Callable[["Renderer", Bike], V], *more: object
    ) -> dict[str, V]:
        """Return the result of a function for each bike of the catalogue, by slug; an earlier build may have computed it.

        `compute` may use its bike, riders, routes, settings, kinds of figures and the day, and nothing else.
        `name` names it, `kind` is the type of its results, and `more` is whatever else they depend on.
        """
        bikes = {bike.slug: bike for bike in self.table.bikes}

        def compute_one(slug: str) -> V:
            alone, recorder = self.record()
            found = compute(alone, bikes[slug])
            self._memo.check(recorder, slug, name)
            return found

        return self._memo.get_or_compute(self.source, bikes, name, kind, compute_one, *more)

    def bikes(self, slugs: Iterable[str]) -> list[Bike]:
        """Return bikes by their slugs, in that order."""
        return [bike for slug in slugs if (bike := self.table.bike(slug))]

    def share(self, name: str, make: Callable[["Renderer"], V], *, of_table: bool = True) -> V:
        """Return a value that several jobs of a process use; the first of them makes it.

        It may depend on the whole table, settings, riders and routes; without `of_table`, on the program and schemas alone.
        """
        for query in ("table", "kinds", "day", "content.model_inputs") if of_table else ():
            self._note(query)
        shared = self._shared.values
        if name not in shared:
            shared[name] = make(self._with(self.source.table, self.source.content, None))
        found: V = shared[name]
        return found

    @property
    def system(self) -> Literal["metric", "us"]:
        """The unit system that comes first."""
        return "us" if self.settings.units == "us" else "metric"

    @property
    def texts(self) -> dict[str, Text]:
        """The pages that the publication has written, by slug."""
        return {text.slug: text for text in self.content.pages}

    @property
    def page_titles(self) -> Mapping[str, str]:
        """Title of each page that the publication has written, by slug."""
        self._note("content.page_index")
        return self._shared.page_titles

    def render_page(self, page: Page) -> Output:
        """Render a page, and note its problems."""
        self.pages.append(page.summary)
        self._note("content.link_relations")
        with templates.report_template_errors(self.root):
            template = self._shared.environment.get_template(f"pages/{page.template}")
            html = template.render(**self._frame(page), **page.values)
        html = disclosure.insert_disclosure(self._with_charts(html, page), self.settings.disclosure)
        self.problems += find_undisclosed_links(
            page.path, html, self._shared.must_disclose, self.root
        )
        return Output(page.path, html.encode())

    def _with_charts(self, html: str, page: Page) -> str:
        """Add the script that lets readers explore charts to a page that has one."""
        if " data-chart=" not in html or "charts" in page.scripts:
            return html
        source = self._linker(page.path)(urls.script("charts"))
        return html.replace("</head>", f'<script src="{source}" defer></script>\n</head>', 1)

    def prose(self, text: Text, path: str) -> Markup:
        """Return a text as HTML for the page at `path`, and note its problems."""
        key = (text.file, urls.depth(path))
        if key not in self._prose:
            html, problems = prose_render.render_text(
                text, self.table, self.content, depth=key[1], root=self.root
            )
            self.problems += problems
            self._prose[key] = Markup(urls.name_index_files(html))
        return self._prose[key]

    def number(
        self, figure: Figure | None, path: str, *, interval: bool = False, linked: bool = True
    ) -> Markup:
        """Return a figure as HTML for the page at `path`, linked to its derivation."""
        if figure is None:
            return numbers.NOT_KNOWN
        data = self._number(figure, interval)
        if not linked:
            return data
        target = f"{urls.bike(figure.bike)}#{numbers.figure_anchor(figure.id)}"
        return numbers.link_figure(data, urls.link(path, target))

    def _number(self, figure: Figure, interval: bool) -> Markup:
        """Return a figure as HTML, made once for the many pages that show it."""
        kept = self._shared.numbers.get((id(figure), interval))
        if kept is None:
            html = numbers.figure_html(figure, interval=interval, first=self.system)
            kept = self._shared.numbers[id(figure), interval] = (figure, html)
        return kept[1]

    def chart(self, slug: str, name: str, *, numbers_in: str = "") -> Markup:
        """Return a chart as HTML; `numbers_in` is the id of a table on the page that already holds its numbers."""
        return embed.figure_for(
            self.table,
            slug,
            name,
            system=self.system,
            convert=self.drawings.chart,
            numbers_in=numbers_in,
        )

    def term_of(self, kind_id: str, path: str) -> str | None:
        """Return a link from the page at `path` to the glossary term that explains a kind of figure; None without one."""
        term = self.explaining(kind_id)
        return urls.link(path, urls.term(term.slug)) if term else None

    def explaining(self, kind_id: str) -> Term | None:
        """Return the glossary term that explains a kind of figure; None without one."""
        self._note("content.term_index")
        return glossary_links.find_term(kind_id, self._shared.explained)

    def address(self, path: str) -> str:
        """Return the absolute address of a page or file."""
        return urls.address(self.settings.address, path)

    def _frame(self, page: Page) -> dict[str, Any]:
        trail = (("Home", urls.HOME), *page.above)
        link = self._linker(page.path)
        crumbs = [(words, link(path)) for words, path in trail]
        whole = [(words, self.address(path)) for words, path in trail]
        whole.append((page.title, self.address(page.path)))
        inner = page.path not in (urls.HOME, urls.NOT_FOUND)
        data = (structured_data.build_breadcrumb(whole), *page.data) if inner else page.data
        lists, changelog, prices = self.content.sections
        return {
            "site": self.settings,
            "page": page,
            "link": link,
            "crumbs": crumbs if inner else [],
            "address": self.address(page.path),
            "canonical": page.path != urls.NOT_FOUND,
            **self._shared.head.values(page.path, page.title),
            "cautions": link(urls.CAUTIONS) if "cautions" in self.page_titles else "",
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
            "structured": [structured_data.format_script(item) for item in data],
        }

    def _own_pages(self, *slugs: str) -> list[tuple[str, str]]:
        """Return title and path of those pages that the publication has written."""
        titles = self.page_titles
        return [(titles[slug], urls.page(slug)) for slug in slugs if slug in titles]

    def _linker(self, origin: str) -> Callable[[str], str]:
        if (
            origin == urls.NOT_FOUND
        ):  # a host shows it at any depth, where only a whole address leads home
            return lambda target: target if target.startswith("assets/") else self.address(target)
        return lambda target: urls.link(origin, target)


def make_environment(root: Path) -> Environment:
    """Return an environment with the templates of the publication at `root`, none of them compiled yet."""
    environment = Environment(
        loader=templates.make_loader(root),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    environment.filters["day"] = format_date
    environment.filters["with_days"] = format_dates_in_text
    return environment


def compile_templates(environment: Environment) -> None:
    """Compile the templates of all pages, before processes are forked that would each compile them.

    An error in a template is reported when a page uses it.
    """
    for name in templates.list_template_names():
        with suppress(TemplateError, ProblemsFound):
            environment.get_template(name)
