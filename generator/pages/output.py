"""One file of the site."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Output:
    path: str
    """Relative to the site, with `/`."""
    data: bytes
