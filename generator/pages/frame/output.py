"""Files of the site, made now or kept from an earlier build, and summaries of pages."""

import hashlib
from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True)
class Output:
    """A file made by this build."""

    path: str
    """Path relative to the site's root, with `/`."""
    data: bytes

    @cached_property
    def digest(self) -> str:
        """SHA-256 of the data."""
        return hashlib.sha256(self.data).hexdigest()

    @property
    def size(self) -> int:
        """Length of the data. [bytes]"""
        return len(self.data)

    @cached_property
    def charts(self) -> int:
        """Number of charts on the page; 0 for other files."""
        return self.data.count(b'<figure class="chart"') if self.path.endswith(".html") else 0


@dataclass(frozen=True)
class UnchangedFile:
    """A file of an earlier build that this one keeps."""

    path: str
    digest: str
    """SHA-256 of the data."""
    size: int
    """Length of the data. [bytes]"""
    charts: int
    """Number of charts on the page; 0 for other files."""


@dataclass(frozen=True)
class PageSummary:
    """What the site map, the search and the glossary need to know about a page."""

    path: str
    title: str
    description: str
    headings: tuple[str, ...] = ()
    terms: frozenset[str] = frozenset()
    """Slugs of the glossary terms that its text links to."""
