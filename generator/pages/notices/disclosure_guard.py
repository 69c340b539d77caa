"""Check of finished pages: every link that earns money must be disclosed.

* LinksToDisclose         the addresses that need a disclosure
* find_undisclosed_links  the problems of a page
* find_raw_links          the addresses in a text that are written out and need a disclosure

The page is parsed as a browser would do it, so it does not matter how a link was written. `disclosure` gives the rules.
"""

import re
from collections.abc import Iterable, Iterator
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

from generator.content.money.addresses import find_place
from generator.content.money.read import ShopLink
from generator.pages.notices.disclosure import LABELS, REL_DUE, describe_undisclosed_link
from generator.specs.problems import Problem
from generator.specs.yaml.files import read_text

_AWAY = r"(?:[hwfHWF][^\"'>:&]*[:&]|[/\\&\x00-\x20\x7f-\U0010ffff])"
"""Possible beginnings of another site's address in HTML: a scheme, slashes, an entity, or characters that browsers drop."""
_OUTWARD = re.compile(rf"""=(?=\s*+(?:"({_AWAY}[^"]*)"|'({_AWAY}[^']*)'|({_AWAY}[^\s>]*)))""")
"""An attribute value that may be an address of another site; most values on a page do not match."""
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
"""Elements in which readers could miss a disclosure or never see it."""


class LinksToDisclose:
    """The addresses that need a disclosure, by host and path."""

    def __init__(self, links: Iterable[ShopLink]) -> None:
        self._exact: dict[tuple[str, str], ShopLink] = {}
        for link in links:
            place = find_place(link.url)
            if place is not None:
                self._exact.setdefault(place, link)
        self._has_any = any(link.must_disclose for link in self._exact.values())

    def find_link(self, address: str) -> ShopLink | None:
        """Return the shop link with this address, if it needs a disclosure; else None.

        A link that names a host alone covers every page of that host that no other link names.
        """
        place = find_place(address) if self._has_any else None
        if place is None:
            return None
        link = self._exact.get(place) or self._exact.get((place[0], ""))
        return link if link and link.must_disclose else None

    def may_be_on_page(self, html: str) -> bool:
        """Whether the page may hold a link that needs a disclosure; a quick test."""
        return self._has_any and any(
            self.find_link(unescape(one or two or three))
            for one, two, three in set(_OUTWARD.findall(html))
        )


def find_undisclosed_links(
    path: str, html: str, to_disclose: LinksToDisclose, root: Path
) -> list[Problem]:
    """Return a problem for each link on the page at `path` that needs a disclosure and lacks it.

    It names the file and line under `root` that hold the address, or else the page.
    """
    if not to_disclose.may_be_on_page(html):
        return []
    reader = _PageParser(to_disclose)
    reader.feed(html)
    reader.close()
    problems = []
    for link, lacks in reader.list_faulty_links():
        problems += _find_in_files(root, link, to_disclose) or [
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


class _PageParser(HTMLParser):
    """Parses a page and notes what each link that needs a disclosure lacks."""

    def __init__(self, to_disclose: LinksToDisclose) -> None:
        super().__init__(convert_charrefs=True)
        self._to_disclose = to_disclose
        self._open: list[tuple[str, frozenset[str], bool]] = []
        """The open elements: tag, classes, and whether readers may miss the content."""
        self._disclosed_relations: set[str] = set()
        self._open_disclosure: tuple[int, set[str], str] | None = None
        """Depth, relations and words so far of the open disclosure."""
        self._links: list[tuple[ShopLink, list[str]]] = []
        self._links_without_label: list[tuple[int, int]] = []
        """Depth of the element around a link and index of the link, for links whose label has not come yet."""
        self._label: tuple[int, str] | None = None

    def list_faulty_links(self) -> list[tuple[ShopLink, list[str]]]:
        for _, at in self._links_without_label:
            self._links[at][1].append("a label beside it")
        self._links_without_label = []
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
        if "disclosure" in classes and main and not hidden and self._open_disclosure is None:
            self._open_disclosure = (depth, set(given.get("data-told", "").split()), "")
        if "shop__label" in classes and not hidden:
            self._label = (depth, "")
        if tag in _LEADING and (link := self._to_disclose.find_link(given.get(_LEADING[tag], ""))):
            self._check_link(link, given.get("rel", ""))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in _VOID and tag in ("path", "rect", "circle", "g", "use", "line"):
            self._open.pop()  # in SVG, where the slash counts

    def handle_endtag(self, tag: str) -> None:
        while any(each[0] == tag for each in self._open):
            closed = len(self._open)
            name = self._open.pop()[0]
            self._close_element(closed)
            if name == tag:
                return

    def handle_data(self, data: str) -> None:
        if self._open_disclosure:
            self._open_disclosure = (*self._open_disclosure[:2], self._open_disclosure[2] + data)
        if self._label:
            self._label = (self._label[0], self._label[1] + data)

    def _check_link(self, link: ShopLink, rel: str) -> None:
        lacks = []
        if link.relation not in self._disclosed_relations:
            lacks.append("a disclosure in the main text before it")
        if not set(REL_DUE.split()) <= set(rel.lower().split()):
            lacks.append(f'rel="{REL_DUE}"')
        self._links.append((link, lacks))
        around = [at for at, each in enumerate(self._open, 1) if "shop" in each[1]]
        if around:
            self._links_without_label.append((around[-1], len(self._links) - 1))
        else:
            lacks.append("a label beside it")

    def _close_element(self, depth: int) -> None:
        if self._open_disclosure and self._open_disclosure[0] == depth:
            _, relations, words = self._open_disclosure
            if len(" ".join(words.split())) >= _LEAST_LENGTH:
                self._disclosed_relations |= relations
            self._open_disclosure = None
        if self._label and self._label[0] == depth:
            words = self._label[1].strip(" ()\n")
            self._links_without_label = [
                (around, at)
                for around, at in self._links_without_label
                if around >= depth or LABELS[self._links[at][0].relation] != words
            ]
            self._label = None
        for around, at in [each for each in self._links_without_label if each[0] == depth]:
            self._links[at][1].append("a label beside it")
            self._links_without_label.remove((around, at))


_LEAST_LENGTH = 30
"""Least length of a disclosure. [characters]"""


def find_raw_links(text: str, to_disclose: LinksToDisclose) -> Iterator[tuple[int, str, ShopLink]]:
    """Yield line (from 1), address and link of each address in a text that is written out and needs a disclosure."""
    for number, line in enumerate(text.split("\n"), 1):
        for match in _WRITTEN.finditer(line):
            address = match[0].rstrip(".,;:!?*_")
            if link := to_disclose.find_link(unescape(address)):
                yield number, address, link


def _find_in_files(root: Path, link: ShopLink, to_disclose: LinksToDisclose) -> list[Problem]:
    """Return a problem for each place in texts, spec files and templates of the publication that holds the address."""
    problems = []
    what, mend = describe_undisclosed_link(link)
    for pattern in ("content/**/*.md", "bikes/*.yaml", "templates/**/*.html"):
        for path in sorted(root.glob(pattern)):
            text = read_text(path)
            name = path.relative_to(root).as_posix()
            advice = mend if name.startswith("content/") else _ELSEWHERE
            for number, address, of in find_raw_links(text, to_disclose):
                if of.id == link.id:
                    column = text.split("\n")[number - 1].find(address) + 1
                    problems.append(Problem(name, number, column, what, advice))
    return problems


_ELSEWHERE = "Name another address here, such as the maker's own page: readers cannot be told of it in this place"
