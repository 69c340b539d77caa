"""A table of figures that notes what it is asked: what was printed from it stands while the answers are the same.

* Witness   in the place of a table, for one job
* Answers   of a table, told by hashes
* Asked     what a job asked, and what it was told

What a witness has no question for counts as asking for everything, so it cannot miss what a page depends on.
"""

import hashlib
import marshal
from collections.abc import Iterable
from typing import Any, NamedTuple

from generator.figures.model import Figure, Input, Kind, Working
from generator.figures.rides.ride_grid import RideGrid
from generator.figures.table.figures_table import FiguresTable
from generator.specs.bike import Bike

Question = tuple[str, str]
"""One of the methods of `Answers`, and what for."""


class Asked(NamedTuple):
    questions: tuple[Question, ...]
    answers: str
    """Hash; empty where they cannot be told, so that nothing is taken for the same."""


class Answers:
    """Each is a short text that changes with what was asked for, or None where that is not known.

    The kinds of figures are no question: a job tells them by `Press.reads`.
    """

    def __init__(self, table: FiguresTable) -> None:
        self._table = table
        self._known: dict[Question, str | None] = {}

    def to(self, questions: Iterable[Question]) -> str:
        """One hash of all answers."""
        told = []
        for question in questions:
            if question not in self._known:
                name, subject = question
                self._known[question] = getattr(self, name)(subject)
            if (answer := self._known[question]) is None:
                return ""
            told.append((question, answer))
        return _hash(told)

    def bike(self, slug: str) -> str | None:
        """All of one bike, by its file; or that there is none."""
        return self._table.marks.get(slug) if self._table.bike(slug) else "none"

    def column(self, id: str) -> str:
        return _hash([_plain(figure) for figure in self._table.column(id).values()])

    def users(self, id: str) -> str:
        return _hash([(slug, tuple(given)) for slug, given in self._table.users(id)])

    def names(self, _: str) -> str:
        return _hash(self._table.names)

    def all(self, _: str) -> str | None:
        marks = [self._table.marks.get(bike.slug, "") for bike in self._table.bikes]
        return _hash(marks) if all(marks) else None


def _hash(told: Any) -> str:
    """Of plain values. This version of the format tells equal values by equal bytes."""
    return hashlib.sha256(marshal.dumps(told, 2)).hexdigest()


def _plain(figure: Figure) -> tuple[Any, ...]:
    return (
        figure.bike, figure.kind.unit.si, figure.value, figure.low, figure.high, figure.basis, figure.conditions,
        figure.sentence, figure.note, figure.before_rides,
    )  # fmt: skip


class Witness:
    """Has what texts ask of a `FiguresTable`, and notes it; everything else it has too, and notes that all was asked for."""

    def __init__(self, table: FiguresTable, answers: Answers) -> None:
        self._table, self._answers = table, answers
        self._questions: set[Question] = set()

    def asked(self) -> Asked:
        questions = tuple(sorted(self._questions))
        return Asked(questions, self._answers.to(questions))

    def stands(self, asked: Asked) -> bool:
        """Would the same questions be answered as they were?"""
        return bool(asked.answers) and asked.answers == self._answers.to(asked.questions)

    def everything(self) -> FiguresTable:
        self._note("all")
        return self._table

    def _note(self, question: str, subject: str = "") -> None:
        self._questions.add((question, subject))

    def __getattr__(self, name: str) -> Any:
        return getattr(self.everything(), name)

    @property
    def kinds(self) -> dict[str, Kind]:
        return self._table.kinds

    def bike(self, slug: str) -> Bike | None:
        self._note("bike", slug)
        return self._table.bike(slug)

    def get(self, slug: str, figure_id: str) -> Figure | None:
        self._note("bike", slug)
        return self._table.get(slug, figure_id)

    def of(self, slug: str) -> dict[str, Figure]:
        self._note("bike", slug)
        return self._table.of(slug)

    def curve(self, slug: str, name: str) -> list[dict[str, Any]]:
        self._note("bike", slug)
        return self._table.curve(slug, name)

    def working(self, figure: Figure) -> Working:
        self._note("bike", figure.bike)
        return self._table.working(figure)

    def ride_grid(self, slug: str) -> RideGrid | None:
        self._note("bike", slug)
        return self._table.ride_grid(slug)

    def column(self, figure_id: str) -> dict[str, Figure]:
        self._note("column", figure_id)
        return self._table.column(figure_id)

    def users(self, input_id: str) -> list[tuple[str, Input]]:
        self._note("users", input_id)
        return self._table.users(input_id)

    @property
    def names(self) -> tuple[tuple[str, str, str], ...]:
        self._note("names")
        return self._table.names
