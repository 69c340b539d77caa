"""Records the queries of a job to the figures table and the content, so its pages are kept while the answers stay the same.

* Source           table and content of a build, and a fingerprint of the answer to each query
* Recorder         the queries of one job
* RecordedTable    a figures table that records each query
* RecordedContent  a content that records each query

Access without a finer query counts as a query for the whole table or for a whole field of the content, so nothing that
a page depends on is missed.
"""

from collections.abc import Iterable
from functools import cached_property
from typing import Any

from generator.content.model import Content
from generator.figures.model import Figure, FigureKind, UsedInput, Working
from generator.figures.rides.claim_rides import ClaimRide
from generator.figures.rides.own_rides import RideCheck
from generator.figures.rides.ride_grid import RideGrid
from generator.figures.table.figures_table import FiguresTable
from generator.figures.uncertainty.what_if import Effect
from generator.law.verdicts import find_rules_day
from generator.specs.bike import Bike
from generator.specs.encoding import fingerprint

Query = tuple[str, str]
"""Name of a query, such as `bike` or `content.links`, and its subject; the subject is empty for all."""


class Source:
    """Table and content of a build. Where a fingerprint is not known (None), nothing counts as unchanged."""

    def __init__(self, table: FiguresTable, content: Content) -> None:
        self.table, self.content = table, content
        self._known: dict[Query, str | None] = {}

    @cached_property
    def day(self) -> Any:
        """The day whose law is applied; None where nothing determines it."""
        return find_rules_day(self.content.settings, self.table.bikes)

    def fingerprint(self, query: Query) -> str | None:
        """Return the fingerprint of the answer to a query."""
        if query not in self._known:
            self._known[query] = self._compute(*query)
        return self._known[query]

    def fingerprint_all(self, queries: Iterable[Query]) -> str | None:
        """Return one fingerprint of all answers, in the order of the queries."""
        found = [self.fingerprint(query) for query in queries]
        return None if None in found else fingerprint(*found)

    def _compute(self, name: str, subject: str) -> str | None:
        table, content = self.table, self.content
        if name.startswith("content."):
            return _content_fingerprint(content, name.removeprefix("content."))
        match name:
            case "bike":
                return table.fingerprints.get(subject) if table.bike(subject) else "none"
            case "column":
                return fingerprint([_plain(each) for each in table.column(subject).values()])
            case "users":
                return fingerprint([(slug, tuple(given)) for slug, given in table.users(subject)])
            case "names":
                return fingerprint(table.names)
            case "kinds":
                return fingerprint(table.kinds)
            case "day":
                return fingerprint(self.day)
            case "table":
                found = [table.fingerprints.get(bike.slug) for bike in table.bikes]
                return None if None in found else fingerprint(found)
        raise ValueError(f"there is no query {name!r}")


def _content_fingerprint(content: Content, field: str) -> str:
    if field == "releases":  # large, and each has a hash of its own
        return fingerprint([each.digest or repr(each) for each in content.releases])
    found = getattr(content, field)
    return fingerprint(sorted(found) if isinstance(found, frozenset) else found)


def _plain(figure: Figure) -> tuple[Any, ...]:
    return (
        figure.bike, figure.kind.unit.si, figure.value, figure.low, figure.high, figure.basis, figure.conditions,
        figure.sentence, figure.note, figure.before_rides,
    )  # fmt: skip


class Recorder:
    """The queries of one job."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self._queries: set[Query] = set()

    def note(self, name: str, subject: str = "") -> None:
        self._queries.add((name, subject))

    @property
    def queries(self) -> tuple[Query, ...]:
        """All queries so far, sorted."""
        return tuple(sorted(self._queries))

    @property
    def day(self) -> Any:
        """The day whose law is applied, recorded as a query."""
        self.note("day")
        return self.source.day


class RecordedTable:
    """A `FiguresTable` that records each access as a query."""

    def __init__(self, recorder: Recorder) -> None:
        self._recorder, self._table = recorder, recorder.source.table

    def __getattr__(self, name: str) -> Any:
        self._recorder.note("table")
        return getattr(self._table, name)

    @property
    def kinds(self) -> dict[str, FigureKind]:
        self._recorder.note("kinds")
        return self._table.kinds

    @property
    def names(self) -> tuple[tuple[str, str, str], ...]:
        self._recorder.note("names")
        return self._table.names

    def bike(self, slug: str) -> Bike | None:
        self._recorder.note("bike", slug)
        return self._table.bike(slug)

    def get(self, slug: str, figure_id: str) -> Figure | None:
        self._recorder.note("bike", slug)
        return self._table.get(slug, figure_id)

    def figures_of(self, slug: str) -> dict[str, Figure]:
        self._recorder.note("bike", slug)
        return self._table.figures_of(slug)

    def rides_of(self, slug: str) -> tuple[RideCheck, ...]:
        self._recorder.note("bike", slug)
        return self._table.rides_of(slug)

    def claim_of(self, slug: str) -> ClaimRide | None:
        self._recorder.note("bike", slug)
        return self._table.claim_of(slug)

    def effects_of(self, slug: str) -> dict[str, list[Effect]]:
        self._recorder.note("bike", slug)
        return self._table.effects_of(slug)

    def missing_of(self, slug: str) -> dict[str, tuple[str, ...]]:
        self._recorder.note("bike", slug)
        return self._table.missing_of(slug)

    def curve(self, slug: str, name: str) -> list[dict[str, Any]]:
        self._recorder.note("bike" if slug in self._table.figures else "table", slug)
        return self._table.curve(slug, name)

    def working(self, figure: Figure) -> Working:
        self._recorder.note("bike", figure.bike)
        return self._table.working(figure)

    def ride_grid(self, slug: str) -> RideGrid | None:
        self._recorder.note("bike", slug)
        return self._table.ride_grid(slug)

    def column(self, figure_id: str) -> dict[str, Figure]:
        self._recorder.note("column", figure_id)
        return self._table.column(figure_id)

    def users(self, input_id: str) -> list[tuple[str, UsedInput]]:
        self._recorder.note("users", input_id)
        return self._table.users(input_id)


class RecordedContent:
    """A `Content` that records each access to a field or property as a query."""

    def __init__(self, recorder: Recorder) -> None:
        self._recorder, self._content = recorder, recorder.source.content

    def __getattr__(self, name: str) -> Any:
        self._recorder.note(f"content.{name}")
        return getattr(self._content, name)
