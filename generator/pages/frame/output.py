"""One file of the site, as bytes or as one that stands there already."""

import hashlib
from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True)
class Output:
    path: str
    """Relative to the site, with `/`."""
    data: bytes

    @cached_property
    def digest(self) -> str:
        """SHA-256."""
        return hashlib.sha256(self.data).hexdigest()

    @property
    def size(self) -> int:
        """[bytes]"""
        return len(self.data)

    @cached_property
    def charts(self) -> int:
        """Charts on the page."""
        return self.data.count(b'<figure class="chart"') if self.path.endswith(".html") else 0


@dataclass(frozen=True)
class Standing:
    """A file that an earlier build wrote, and that goes into the next site as it is."""

    path: str
    digest: str
    """SHA-256 of its bytes."""
    size: int
    """[bytes]"""
    charts: int
    """Charts on the page."""
