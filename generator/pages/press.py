"""What every page is printed with: the templates, the frame around a page, numbers, prose and charts.

* Sheet    one page before it is printed: its template and what the template shows
* Press    prints sheets; gathers the problems of the texts on the way
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any, Literal

from jinja2 import ChoiceLoader, Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from generator.charts import svg
from generator.content.model import Content, Text
from generator.figures.model import Figure
from generator.figures.table import FiguresTable
from generator.pages import jsonld, numbers, places, prose
from generator.pages.output import Output
from generator.specs.bike import Bike
from generator.specs.problems import Problem

OWN_TEMPLATES = Path(__file__).parents[2] / "templates"
"""Used for each template that the publication does not bring itself."""

NAVIGATION = (
    ("Bikes", places.BIKES),
    ("Compare", places.COMPARE),
    ("Claims", places.CLAIMS),
    ("Guides", places.GUIDES),
    ("Glossary", places.GLOSSARY),
    ("Method", places.METHOD),
)


@dataclass(frozen=True)
class Sheet:
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
    scripts: tuple[str, ...] = ()
    """Bundles that the page needs beside that of every page; see `assets.SCRIPTS`."""


class Press:
    def __init__(
        self,
        table: FiguresTable,
        content: Content,
        root: Path,
        convert: svg.Convert = svg.convert,
    ) -> None:
        self.root = root
        self.table = table
        self.content = content
        self.settings = content.settings
        self.problems: list[Problem] = []
        self.texts = {text.slug: text for text in content.pages}
        self._convert = convert
        self._environment = _environment(root / "templates")
        self._prose: dict[tuple[str, int], Markup] = {}

    @property
    def system(self) -> Literal["metric", "us"]:
        """The unit system that comes first."""
        return "us" if self.settings.units == "us" else "metric"

    def printed(self, sheet: Sheet) -> Output:
        """The sheet as a finished page."""
        template = self._environment.get_template(f"pages/{sheet.template}")
        html = template.render(**self._frame(sheet), **sheet.values)
        return Output(sheet.path, html.encode())

    def prose(self, text: Text, path: str) -> Markup:
        """A text as HTML for the page at `path`; its problems are kept for the end of the run."""
        key = (text.file, places.depth(path))
        if key not in self._prose:
            html, problems = prose.render(text, self.table, self.content, depth=key[1])
            self.problems += problems
            self._prose[key] = Markup(places.files_named(html))
        return self._prose[key]

    def number(
        self, figure: Figure | None, path: str, *, interval: bool = False, linked: bool = True
    ) -> Markup:
        """A figure as the page at `path` shows it, linked to its derivation."""
        href = None
        if figure is not None and linked:
            target = f"{places.bike(figure.bike)}#{numbers.anchor(figure.id)}"
            href = places.link(path, target)
        return numbers.figure_html(figure, href=href, interval=interval, first=self.system)

    def chart(self, slug: str, name: str, *, numbers_in: str = "") -> Markup:
        """A chart; `numbers_in` is the id of a table on the page that holds its numbers already."""
        return svg.figure_for(
            self.table,
            slug,
            name,
            system=self.system,
            convert=self._convert,
            numbers_in=numbers_in,
        )

    def address(self, path: str) -> str:
        """Absolute address."""
        return places.address(self.settings.address, path)

    def _frame(self, sheet: Sheet) -> dict[str, Any]:
        trail = (("Home", places.HOME), *sheet.above)
        link = self._linker(sheet.path)
        crumbs = [(words, link(path)) for words, path in trail]
        whole = [(words, self.address(path)) for words, path in trail]
        whole.append((sheet.title, self.address(sheet.path)))
        inner = sheet.path not in (places.HOME, places.NOT_FOUND)
        data = (jsonld.breadcrumb(whole), *sheet.data) if inner else sheet.data
        about = [("About", places.page("about"))] if "about" in self.texts else []
        return {
            "site": self.settings,
            "page": sheet,
            "link": link,
            "crumbs": crumbs if inner else [],
            "address": self.address(sheet.path),
            "cautions": link(places.CAUTIONS) if "cautions" in self.texts else "",
            "navigation": [
                (words, link(path), sheet.path.split("/")[0] == path.split("/")[0])
                for words, path in (*NAVIGATION, *about)
            ],
            "footer": [
                (words, link(path))
                for words, path in (
                    ("What makers claim", places.CLAIMS),
                    ("What the law calls a bike", places.LAW),
                    ("Report card of the model", places.REPORT_CARD),
                    ("Data to download", places.DATA),
                    *(
                        (self.texts[slug].title, places.page(slug))
                        for slug in ("cautions", "testing", "contributing")
                        if slug in self.texts
                    ),
                    *([("Changes", places.CHANGELOG)] if self.content.changelog else []),
                )
            ],
            "first_units": self.system,
            "scripts": [link(places.script(name)) for name in ("site", *sheet.scripts)],
            "structured": [jsonld.script_text(item) for item in data],
        }

    def _linker(self, origin: str) -> Callable[[str], str]:
        if (
            origin == places.NOT_FOUND
        ):  # a host shows it at any depth, where only a whole address leads home
            return lambda target: target if target.startswith("assets/") else self.address(target)
        return lambda target: places.link(origin, target)


def name_of(bike: Bike) -> str:
    return f"{bike.maker} {bike.name}"


def day(when: date) -> str:
    """A date in words: 4 October 2026."""
    return f"{when.day} {when:%B} {when.year}"


def _environment(folder: Path) -> Environment:
    environment = Environment(
        loader=ChoiceLoader([FileSystemLoader(folder), FileSystemLoader(OWN_TEMPLATES)]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    environment.filters["day"] = day
    return environment
