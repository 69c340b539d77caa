"""The last look at a finished page: no link by which somebody gains, without readers being told.

* Due      the addresses that want a disclosure
* faults   what a page lacks

It reads the page as a browser would, whoever wrote the link and in whatever way. See `disclosure` for the rules.
"""

import re
from collections.abc import Iterable, Iterator
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

from generator.content.money.addresses import place_of
from generator.content.money.read import ShopLink
from generator.pages.frame.disclosure import LABELS, REL_DUE, unmarked
from generator.specs.problems import Problem
from generator.specs.yaml.files import read_text

_AWAY = r"(?:[hwfHWF][^\"'>:&]*[:&]|[/\\&\x00-\x20\x7f-\U0010ffff])"
"""How an address of another site may begin as it is written: a scheme, slashes, an entity, or what browsers drop."""
_OUTWARD = re.compile(rf"""=(?=\s*+(?:"({_AWAY}[^"]*)"|'({_AWAY}[^']*)'|({_AWAY}[^\s>]*)))""")
"""A value that may be such an address, of whatever attribute; most values on a page are passed over at once."""
_WRITTEN = re.compile(r"""(?:https?:|[/\\]{2})[^\s"'<>)\]}]+""", re.I)
_LEADING = {
    "a": "href",
    "area": "href",
    "form": "action",
    "iframe": "src",
    "embed": "src",
    "object": "data",
}
_VOID = frozenset(
    [
        "area",
        "base",
        "br",
        "col",
        "embed",
        "hr",
        "img",
        "input",
        "link",
        "meta",
        "source",
        "track",
        "wbr",
    ]
)
_ASIDE = frozenset(
    ["head", "template", "noscript", "details", "dialog", "footer", "nav", "aside", "figcaption"]
)
"""Elements in which a disclosure could be missed or is never seen."""


class Due:
    """The addresses that want a disclosure, by where they lead."""

    def __init__(self, links: Iterable[ShopLink]) -> None:
        self._exact: dict[tuple[str, str], ShopLink] = {}
        for link in links:
            place = place_of(link.url)
            if place is not None:
                self._exact.setdefault(place, link)
        self._some = any(link.due for link in self._exact.values())

    def link_of(self, address: str) -> ShopLink | None:
        """The link that an address is, if readers must be told of it.

        One that names a host alone stands for every page of that host that no other link names.
        """
        place = place_of(address) if self._some else None
        if place is None:
            return None
        link = self._exact.get(place) or self._exact.get((place[0], ""))
        return link if link and link.due else None

    def on_page(self, html: str) -> bool:
        """Quick: may there be such a link on the page?"""
        return self._some and any(
            self.link_of(unescape(one or two or three))
            for one, two, three in set(_OUTWARD.findall(html))
        )


def faults(path: str, html: str, due: Due, root: Path) -> list[Problem]:
    """A problem for each link on the page at `path` that is due and of which readers are not told.

    It names the file and line that hold the address, where one under `root` does, else the page.
    """
    if not due.on_page(html):
        return []
    reader = _Reader(due)
    reader.feed(html)
    reader.close()
    problems = []
    for link, lacks in reader.found():
        problems += _written_in(root, link, due) or [
            Problem(
                path,
                0,
                0,
                f"this page links to the address of '{link.id}' ({link.relation} in content/links.yaml)"
                f" without {' and '.join(lacks)}",
                "See that its template shows shop links as they are, and keeps the place of the disclosure",
            )
        ]
    return problems


class _Reader(HTMLParser):
    """Walks through a page and notes what each link that is due lacks."""

    def __init__(self, due: Due) -> None:
        super().__init__(convert_charrefs=True)
        self._due = due
        self._open: list[tuple[str, frozenset[str], bool]] = []
        """Tag, classes, and whether what is in it may be missed."""
        self._told: set[str] = set()
        self._telling: tuple[int, set[str], str] | None = None
        """Depth, relations and words so far of a disclosure that is open."""
        self._links: list[tuple[ShopLink, list[str]]] = []
        self._waiting: list[tuple[int, int]] = []
        """Depth of the piece around a link, and the link's place, until its label has come."""
        self._label: tuple[int, str] | None = None

    def found(self) -> list[tuple[ShopLink, list[str]]]:
        for _, at in self._waiting:
            self._links[at][1].append("a label beside it")
        self._waiting = []
        return [(link, lacks) for link, lacks in self._links if lacks]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in reversed(attrs)}
        classes = frozenset(given.get("class", "").split())
        hidden = tag in _ASIDE or "hidden" in given or given.get("aria-hidden") == "true"
        hidden = hidden or any(each[2] for each in self._open)
        if tag not in _VOID:
            self._open.append((tag, classes, hidden))
        depth = len(self._open)
        main = any(each[0] == "main" for each in self._open)
        if "disclosure" in classes and main and not hidden and self._telling is None:
            self._telling = (depth, set(given.get("data-told", "").split()), "")
        if "shop__label" in classes and not hidden:
            self._label = (depth, "")
        if tag in _LEADING and (link := self._due.link_of(given.get(_LEADING[tag], ""))):
            self._look_at(link, given.get("rel", ""))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in _VOID and tag in ("path", "rect", "circle", "g", "use", "line"):
            self._open.pop()  # of a drawing, where the slash counts

    def handle_endtag(self, tag: str) -> None:
        while any(each[0] == tag for each in self._open):
            closed = len(self._open)
            name = self._open.pop()[0]
            self._closed(closed)
            if name == tag:
                return

    def handle_data(self, data: str) -> None:
        if self._telling:
            self._telling = (*self._telling[:2], self._telling[2] + data)
        if self._label:
            self._label = (self._label[0], self._label[1] + data)

    def _look_at(self, link: ShopLink, rel: str) -> None:
        lacks = []
        if link.relation not in self._told:
            lacks.append("a disclosure in the main text before it")
        if not set(REL_DUE.split()) <= set(rel.lower().split()):
            lacks.append(f'rel="{REL_DUE}"')
        self._links.append((link, lacks))
        around = [at for at, each in enumerate(self._open, 1) if "shop" in each[1]]
        if around:
            self._waiting.append((around[-1], len(self._links) - 1))
        else:
            lacks.append("a label beside it")

    def _closed(self, depth: int) -> None:
        if self._telling and self._telling[0] == depth:
            _, relations, words = self._telling
            if len(" ".join(words.split())) >= _SHORTEST:
                self._told |= relations
            self._telling = None
        if self._label and self._label[0] == depth:
            words = self._label[1].strip(" ()\n")
            self._waiting = [
                (around, at)
                for around, at in self._waiting
                if around >= depth or LABELS[self._links[at][0].relation] != words
            ]
            self._label = None
        for around, at in [each for each in self._waiting if each[0] == depth]:
            self._links[at][1].append("a label beside it")
            self._waiting.remove((around, at))


_SHORTEST = 30
"""A disclosure of fewer signs says nothing. [characters]"""


def raw_links(text: str, due: Due) -> Iterator[tuple[int, str, ShopLink]]:
    """Line (from 1), address and link of each address in a text that is due and written out."""
    for number, line in enumerate(text.split("\n"), 1):
        for match in _WRITTEN.finditer(line):
            address = match[0].rstrip(".,;:!?*_")
            if link := due.link_of(unescape(address)):
                yield number, address, link


def _written_in(root: Path, link: ShopLink, due: Due) -> list[Problem]:
    """Where texts and spec files of the publication hold the address as it is."""
    problems = []
    what, mend = unmarked(link)
    for pattern in ("content/**/*.md", "bikes/*.yaml", "templates/**/*.html"):
        for path in sorted(root.glob(pattern)):
            text = read_text(path)
            name = path.relative_to(root).as_posix()
            advice = mend if name.startswith("content/") else _ELSEWHERE
            for number, address, of in raw_links(text, due):
                if of.id == link.id:
                    column = text.split("\n")[number - 1].find(address) + 1
                    problems.append(Problem(name, number, column, what, advice))
    return problems


_ELSEWHERE = "Name another address here, such as the maker's own page: readers cannot be told of it in this place"
