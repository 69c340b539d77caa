"""What a build made, and what is different from the site that stood there before."""

from collections.abc import Mapping
from dataclasses import dataclass

from generator.specs.problems import Problem


@dataclass(frozen=True)
class Changes:
    """Pages by path, sorted."""

    added: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()


@dataclass(frozen=True)
class Summary:
    """One build, counted."""

    out: str
    bikes: int
    guides: int
    terms: int
    pages: int
    figures: int
    """Figures of all bikes together."""
    charts: int
    bytes: int
    """Of the whole site, not compressed."""
    seconds: float = 0.0
    kept: bool = False
    """Nothing had changed, so nothing was built."""
    changes: Changes = Changes()
    warnings: tuple[Problem, ...] = ()


def page_changes(before: Mapping[str, str], now: Mapping[str, str]) -> Changes:
    """Compare two sites, each a mapping of path to content hash. Only pages are named."""
    old, new = _pages(before), _pages(now)
    return Changes(
        added=tuple(sorted(new.keys() - old.keys())),
        gone=tuple(sorted(old.keys() - new.keys())),
        changed=tuple(sorted(path for path in new.keys() & old.keys() if new[path] != old[path])),
    )


def _pages(site: Mapping[str, str]) -> dict[str, str]:
    return {path: digest for path, digest in site.items() if path.endswith(".html")}
