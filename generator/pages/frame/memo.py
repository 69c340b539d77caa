"""Values computed for each bike alone, for files about all bikes; a build stores them, so an edit recomputes one bike.

* BikeMemo   computes at each call; a build passes a subclass that stores the values
"""

from collections.abc import Callable, Iterable
from typing import TypeVar

from generator.pages.frame.recorder import Query, Recorder, Source
from generator.specs.encoding import fingerprint

V = TypeVar("V")

_COMMON = (
    "content.rider",
    "content.riders",
    "content.route",
    "content.routes",
    "content.settings",
    "day",
    "kinds",
)
"""Queries that every value may depend on, in addition to its bike."""


class BikeMemo:
    """Values by name and bike."""

    def get_or_compute(
        self,
        source: Source,
        slugs: Iterable[str],
        name: str,
        kind: type[V],
        compute: Callable[[str], V],
        *more: object,
    ) -> dict[str, V]:
        """Return the value of each bike by slug, in the order of `slugs`.

        `name` names the computation, `kind` is the type of its values, and `more` is what they depend on in addition to
        the bike and what is common to all.
        """
        return {slug: compute(slug) for slug in slugs}

    @staticmethod
    def check(recorder: Recorder, slug: str, name: str) -> None:
        """Raise AssertionError where a computation made queries that `key` does not cover."""
        allowed: set[Query] = {("bike", slug), *((each, "") for each in _COMMON)}
        strange = [query for query in recorder.queries if query not in allowed]
        assert not strange, f"{name} asks for {strange}, which its values cannot be kept by"

    @staticmethod
    def key(source: Source, slug: str, *more: object) -> str | None:
        """Return the fingerprint of everything that a value depends on; None where it is not known."""
        queries: list[Query] = [("bike", slug), *((each, "") for each in _COMMON)]
        found = source.fingerprint_all(queries)
        return fingerprint(found, *more) if found else None
