"""A long list on several pages, a hundred rows to each, so that no page grows with the catalogue.

* Leaf     one page of a list
* leaves   all of them
* leaf_of  the path of the one with a certain row
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from generator.pages.frame import urls

ROWS = 100
"""On one page at most."""

T = TypeVar("T")


@dataclass(frozen=True)
class Leaf:
    path: str
    start: int
    """Place of the first row in the whole list, from 0."""
    total: int
    """Rows of the whole list."""
    noun: str
    """What a row is, in the singular."""
    before: str
    """Link to the page before; empty on the first."""
    after: str

    @property
    def first(self) -> bool:
        return self.start == 0

    def of(self, rows: Sequence[T]) -> Sequence[T]:
        """Those of the whole list that stand on this page."""
        return rows[self.start : self.start + ROWS]

    @property
    def span(self) -> str:
        """`30 bikes`, or `101–200 of 1000 bikes`."""
        things = f"{self.total} {self.noun}{'' if self.total == 1 else 's'}"
        if self.total <= ROWS:
            return things
        return f"{self.start + 1}–{min(self.start + ROWS, self.total)} of {things}"


def leaves(first_path: str, total: int, noun: str = "bike") -> list[Leaf]:
    """The pages of a list, of which the first stands at `first_path`; one page even where there is nothing."""
    last = max(1, -(-total // ROWS))
    found = []
    for number in range(1, last + 1):
        path = urls.part(first_path, number)
        before, after = (
            urls.link(path, urls.part(first_path, other)) if 1 <= other <= last else ""
            for other in (number - 1, number + 1)
        )
        found.append(Leaf(path, ROWS * (number - 1), total, noun, before, after))
    return found


def leaf_of(first_path: str, place: int) -> str:
    """Path of the page with the row at `place`, counted from 0."""
    return urls.part(first_path, place // ROWS + 1)
