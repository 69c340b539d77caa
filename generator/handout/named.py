"""What a guide names: its sections, figures, bikes, charts and diagrams, as they stand on its finished page.

The page is read and not the guide's source, so loops and conditions of live text have been worked out.
"""

from dataclasses import dataclass, field
from html.parser import HTMLParser

from generator.charts.diagrams import NAMES


@dataclass
class Named:
    """All in the order in which they are met, each once."""

    sections: list[str] = field(default_factory=list)
    figures: list[tuple[str, str]] = field(default_factory=list)
    """Slug of a bike and id of a figure."""
    charts: list[tuple[str, str]] = field(default_factory=list)
    """Name of a chart and what it is of: a bike's slug or a currency."""
    diagrams: list[tuple[str, str]] = field(default_factory=list)
    """Name of a diagram and a bike's slug; no slug for the typical machine."""
    addresses: list[str] = field(default_factory=list)
    """That links lead to outside the site."""


def named(html: str) -> Named:
    """What the HTML of a guide's text names."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader.found


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found = Named()
        self._title: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "h2":
            self._title = []
        elif tag == "a" and given.get("href", "").startswith(("http://", "https://")):
            self.found.addresses.append(given["href"])
        elif tag == "data" and "data-figure" in given:
            _add(self.found.figures, (given.get("data-bike", ""), given["data-figure"]))
        elif tag == "figure" and "data-chart" in given:
            _add(self.found.charts, (given["data-chart"], given.get("data-of", "")))
        elif tag == "figure" and given.get("id", "").startswith("diagram-"):
            self._diagram(given["id"].removeprefix("diagram-"))

    def handle_endtag(self, tag: str) -> None:
        if tag == "h2" and self._title is not None:
            self.found.sections.append(" ".join("".join(self._title).split()))
            self._title = None

    def handle_data(self, data: str) -> None:
        if self._title is not None:
            self._title.append(data)

    def _diagram(self, key: str) -> None:
        for name in NAMES:
            if key == name or key.startswith(f"{name}-"):
                _add(self.found.diagrams, (name, key.removeprefix(name).removeprefix("-")))


def _add(found: list[tuple[str, str]], one: tuple[str, str]) -> None:
    if one not in found:
        found.append(one)
