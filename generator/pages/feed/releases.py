"""The records of what was published, beside the table of now: what moved, computed once for all pages."""

from collections.abc import Iterable
from functools import cached_property

from generator.content.model import Content
from generator.content.releases import Release
from generator.figures import show
from generator.figures.criteria import running_lists
from generator.figures.criteria.running_lists import Judge
from generator.figures.records import record
from generator.figures.records.record import Move, Movement
from generator.figures.table.figures_table import FiguresTable


class History:
    """What the pages ask of the records."""

    def __init__(
        self, table: FiguresTable, content: Content, judge: Judge = running_lists.judged
    ) -> None:
        self._table = table
        self._content = content
        self._judge = judge
        self.releases = content.releases
        self.system: show.System = "us" if content.settings.units == "us" else "metric"

    @property
    def last(self) -> Release | None:
        """The newest record."""
        return self.releases[-1] if self.releases else None

    @cached_property
    def rolls(self) -> dict[str, running_lists.Roll]:
        """Every running list whose rule can be read, by its slug, in the order of the lists."""
        return {
            each.running.slug: each
            for each in running_lists.rolls(self._table, self._content, self._judge)
        }

    @cached_property
    def now(self) -> Release | None:
        """The table as a record that bears the day of the last one; None where there is no record."""
        if self.last is None:
            return None
        lists = running_lists.members(self.rolls.values())
        return record.record_of(self._table, self.last.day, lists)

    def now_of(self, slugs: Iterable[str]) -> Release | None:
        """The same of those of these bikes that are here, and without the lists."""
        bikes = [bike for slug in slugs if (bike := self._table.bike(slug))]
        return record.record_of(self._table, self.last.day, {}, bikes) if self.last else None

    @cached_property
    def movements(self) -> list[tuple[Release, Movement | None]]:
        """Each record with what moved since the one before, newest first; None of the first."""
        pairs = zip((None, *self.releases), self.releases, strict=False)
        found = [
            (new, record.between(old, new, self._table, self.system) if old else None)
            for old, new in pairs
        ]
        return found[::-1]

    @cached_property
    def since_last(self) -> Movement | None:
        """What moved since the last record; None where there is none."""
        if self.last is None or self.now is None:
            return None
        return record.between(self.last, self.now, self._table, self.system)

    def moved_since(
        self, release: Release, named: Iterable[tuple[str, str]]
    ) -> dict[str, list[Move]]:
        """Of the figures that are named by slug and id, those that read otherwise than in a record, by slug.

        Asks the table for the named bikes alone.
        """
        wanted = set(named)
        slugs = sorted({slug for slug, _ in wanted} & release.figures.keys())
        bikes = [bike for slug in slugs if (bike := self._table.bike(slug))]
        now = record.record_of(self._table, release.day, {}, bikes)
        found = {}
        for slug in now.figures:
            moves = record.moves_of(release, now, slug, self._table, self.system)
            if own := [move for move in moves if (slug, move.kind.id) in wanted]:
                found[slug] = own
        return found
