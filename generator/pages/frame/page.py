"""A page before it is rendered: its template and what the template shows."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from generator.pages.frame.output import PageSummary


@dataclass(frozen=True)
class Page:
    """A page to be rendered."""

    path: str
    template: str
    """Name under `templates/pages/`."""
    title: str
    description: str
    values: Mapping[str, Any] = field(default_factory=dict)
    above: tuple[tuple[str, str], ...] = ()
    """Title and path of the pages between the home page and this one, outermost first."""
    data: tuple[dict[str, Any], ...] = ()
    """Structured data of the page, without the breadcrumb."""
    headings: tuple[str, ...] = ()
    """Headings of the text, which the search index holds."""
    scripts: tuple[str, ...] = ()
    """Bundles of `assets.SCRIPTS` that the page needs in addition to `site`."""
    terms: frozenset[str] = frozenset()
    """Slugs of the glossary terms that the text links to."""

    @property
    def summary(self) -> PageSummary:
        """What other pages need to know about this one."""
        return PageSummary(self.path, self.title, self.description, self.headings, self.terms)
