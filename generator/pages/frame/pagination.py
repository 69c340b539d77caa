"""Long lists split into pages of a hundred rows, so that no page grows with the catalogue.

* ListPage         one page of a list
* find_list_pages  all pages of a list
* find_list_page   the path of the page that holds a row
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from generator.pages.frame import urls

ROWS_PER_PAGE = 100
"""Most rows of one page."""

T = TypeVar("T")


@dataclass(frozen=True)
class ListPage:
    """One page of a long list."""

    path: str
    start: int
    """Index of the page's first row in the whole list, from 0."""
    total: int
    """Number of rows of the whole list."""
    noun: str
    """What a row is, in the singular."""
    before: str
    """Link to the page before; empty on the first."""
    after: str
    """Link to the page after; empty on the last."""

    @property
    def first(self) -> bool:
        return self.start == 0

    def select_rows(self, rows: Sequence[T]) -> Sequence[T]:
        """Select the rows of this page from the whole list."""
        return rows[self.start : self.start + ROWS_PER_PAGE]

    @property
    def span(self) -> str:
        """The rows of this page in words: `30 bikes`, or `101–200 of 1000 bikes`."""
        things = f"{self.total} {self.noun}{'' if self.total == 1 else 's'}"
        if self.total <= ROWS_PER_PAGE:
            return things
        return f"{self.start + 1}–{min(self.start + ROWS_PER_PAGE, self.total)} of {things}"


def find_list_pages(first_path: str, total: int, noun: str = "bike") -> list[ListPage]:
    """Return the pages of a list, the first of them at `first_path`; an empty list has one page."""
    last = max(1, -(-total // ROWS_PER_PAGE))
    found = []
    for number in range(1, last + 1):
        path = urls.part(first_path, number)
        before, after = (
            urls.link(path, urls.part(first_path, other)) if 1 <= other <= last else ""
            for other in (number - 1, number + 1)
        )
        found.append(ListPage(path, ROWS_PER_PAGE * (number - 1), total, noun, before, after))
    return found


def find_list_page(first_path: str, place: int) -> str:
    """Return the path of the page that holds the row at index `place`, from 0."""
    return urls.part(first_path, place // ROWS_PER_PAGE + 1)
