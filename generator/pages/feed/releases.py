"""The records of releases compared with the current table: what moved, computed once for all pages."""

from collections.abc import Iterable
from functools import cached_property

from generator.content.model import Content
from generator.content.releases import Release
from generator.figures import show
from generator.figures.criteria import running_lists
from generator.figures.criteria.running_lists import ListJudge
from generator.figures.records import record
from generator.figures.records.record import FigureChange, RecordChanges
from generator.figures.table.figures_table import FiguresTable


class ReleaseHistory:
    """The records of a publication, and what moved between them."""

    def __init__(
        self, table: FiguresTable, content: Content, judge: ListJudge = running_lists.judge_bikes
    ) -> None:
        self._table = table
        self._content = content
        self._judge = judge
        self.releases = content.releases
        self.system: show.UnitSystem = "us" if content.settings.units == "us" else "metric"

    @property
    def last(self) -> Release | None:
        """The newest record."""
        return self.releases[-1] if self.releases else None

    @cached_property
    def members_by_list(self) -> dict[str, running_lists.ListMembers]:
        """Members of each running list whose rule can be read, by slug, in the order of the lists."""
        return {
            each.running.slug: each
            for each in running_lists.find_all_list_members(self._table, self._content, self._judge)
        }

    @cached_property
    def now(self) -> Release | None:
        """The current table as a record, dated like the last record; None if there is no record."""
        if self.last is None:
            return None
        lists = running_lists.list_member_slugs(self.members_by_list.values())
        return record.make_record(self._table, self.last.day, lists)

    def record_bikes(self, slugs: Iterable[str]) -> Release | None:
        """A record of those of these bikes that are in the table, without lists; None if there is no record."""
        bikes = [bike for slug in slugs if (bike := self._table.bike(slug))]
        return record.make_record(self._table, self.last.day, {}, bikes) if self.last else None

    @cached_property
    def movements(self) -> list[tuple[Release, RecordChanges | None]]:
        """Each record with what moved since the one before, newest first; None of the first."""
        pairs = zip((None, *self.releases), self.releases, strict=False)
        found = [
            (new, record.compare_records(old, new, self._table, self.system) if old else None)
            for old, new in pairs
        ]
        return found[::-1]

    @cached_property
    def since_last(self) -> RecordChanges | None:
        """What moved since the last record; None where there is none."""
        if self.last is None or self.now is None:
            return None
        return record.compare_records(self.last, self.now, self._table, self.system)

    def find_moves_since(
        self, release: Release, named: Iterable[tuple[str, str]]
    ) -> dict[str, list[FigureChange]]:
        """Of the figures that are named by slug and id, those that read otherwise than in a record, by slug.

        Reads only the named bikes from the table.
        """
        wanted = set(named)
        slugs = sorted({slug for slug, _ in wanted} & release.figures.keys())
        bikes = [bike for slug in slugs if (bike := self._table.bike(slug))]
        now = record.make_record(self._table, release.day, {}, bikes)
        found = {}
        for slug in now.figures:
            moves = record.find_figure_changes(release, now, slug, self._table, self.system)
            if own := [move for move in moves if (slug, move.kind.id) in wanted]:
                found[slug] = own
        return found
