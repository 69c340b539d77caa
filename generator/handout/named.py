"""Contents of a guide: sections, figures, charts, diagrams and outward links, read from its rendered page.

In the page, unlike in the guide's source, loops and conditions of live text have been evaluated.
"""

from dataclasses import dataclass, field
from html.parser import HTMLParser

from generator.charts.diagrams import NAMES


@dataclass
class GuideContents:
    """Contents of a guide, in the order of its text; figures, charts and diagrams once each."""

    sections: list[str] = field(default_factory=list)
    figures: list[tuple[str, str]] = field(default_factory=list)
    """Slug of the bike and id of each figure."""
    charts: list[tuple[str, str]] = field(default_factory=list)
    """Name of each chart with the slug of its bike or the code of its currency."""
    diagrams: list[tuple[str, str]] = field(default_factory=list)
    """Name of each diagram with the slug of its bike, empty for the typical machine."""
    addresses: list[str] = field(default_factory=list)
    """Addresses of links that lead outside the site."""


def read_guide_contents(html: str) -> GuideContents:
    """Contents found in the HTML of a guide's text."""
    reader = _GuideReader()
    reader.feed(html)
    reader.close()
    return reader.found


class _GuideReader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found = GuideContents()
        self._title: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "h2":
            self._title = []
        elif tag == "a" and given.get("href", "").startswith(("http://", "https://")):
            self.found.addresses.append(given["href"])
        elif tag == "data" and "data-figure" in given:
            _add_once(self.found.figures, (given.get("data-bike", ""), given["data-figure"]))
        elif tag == "figure" and "data-chart" in given:
            _add_once(self.found.charts, (given["data-chart"], given.get("data-of", "")))
        elif tag == "figure" and given.get("id", "").startswith("diagram-"):
            self._add_diagram(given["id"].removeprefix("diagram-"))

    def handle_endtag(self, tag: str) -> None:
        if tag == "h2" and self._title is not None:
            self.found.sections.append(" ".join("".join(self._title).split()))
            self._title = None

    def handle_data(self, data: str) -> None:
        if self._title is not None:
            self._title.append(data)

    def _add_diagram(self, key: str) -> None:
        for name in NAMES:
            if key == name or key.startswith(f"{name}-"):
                _add_once(self.found.diagrams, (name, key.removeprefix(name).removeprefix("-")))


def _add_once(found: list[tuple[str, str]], one: tuple[str, str]) -> None:
    if one not in found:
        found.append(one)
