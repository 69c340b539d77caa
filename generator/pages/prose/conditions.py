"""The conditions of one live text: evaluated, joined, and recorded with the block that they open.

* BlockRun      one run of a `holds` block, with its claim
* ConditionRuns    the runs of one text, and the functions that its template calls
"""

import inspect
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from generator.figures import show
from generator.pages.prose.claims import BikeCount, ConditionResult, ConditionTester
from generator.pages.prose.holds_block import CONDITIONS, format_closing, format_opening
from generator.pages.prose.language import Budget, TextFault
from generator.pages.prose.pieces import WordUseError

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

USAGE = {
    "least": 'least("bike", "figure.id") or least("bike", "figure.id", where={"use": "city"})',
    "most": 'most("bike", "figure.id") or most("bike", "figure.id", where={"use": "city"})',
    "only": 'only("bike", {"drive": "belt"})',
    "meets": 'meets("bike", {"mass": "at most 25 kg"})',
    "number_of": 'number_of({"use": "cargo"}) == 3',
}


@dataclass(frozen=True)
class BlockRun:
    """One run of a `holds` block, with what its condition claimed."""

    block: int
    """Number of the block in the body, from 0; a block in a loop runs many times."""
    line: int
    """Line in the body, from 1."""
    claim: ConditionResult
    wrong: bool
    """Whether the condition was written wrongly; that fault alone is then reported."""


class ConditionRuns:
    """The conditions of one text in the order in which they ran."""

    def __init__(
        self, table: "FiguresTable", system: show.UnitSystem, faults: list[TextFault]
    ) -> None:
        self.runs: list[BlockRun] = []
        self._claims = ConditionTester(table, system)
        self._faults = faults
        self._open: list[int] = []
        self._wrong = False

    def list_functions(self, budget: Budget) -> dict[str, Callable[..., object]]:
        """Functions for the template: words of conditions, joints, and the calls that `holds_block` puts around each block."""
        claims = self._claims
        return {
            **{
                word: partial(self._evaluate_word, budget, word, getattr(claims, word))
                for word in CONDITIONS
            },
            "all_": partial(self._join_conditions, claims.all_),
            "any_": partial(self._join_conditions, claims.any_),
            "not_": partial(self._join_conditions, claims.not_),
            "compared_": self._compare_count,
            "opened_": partial(self._open_block, budget),
            "closed_": self._close_block,
        }

    def _evaluate_word(
        self,
        budget: Budget,
        word: str,
        method: Callable[..., ConditionResult | BikeCount],
        *args: object,
        line_: int,
        **kwargs: object,
    ) -> ConditionResult | BikeCount:
        """Evaluate a word of a condition; a wrong call becomes a fault and an unknown claim."""
        try:
            try:
                inspect.signature(method).bind(*args, **kwargs)
            except TypeError as error:
                what = f"{word}() has the wrong arguments: {error}"
                raise WordUseError(what, f"Write {USAGE[word]}") from error
            return method(*args, **kwargs)
        except WordUseError as wrong:
            self._faults.append(TextFault(line_, wrong.what, wrong.mend, wrong.fragment))
            budget.count_fault(line_)
            self._wrong = True
            return ConditionResult(None, "", ())

    def _join_conditions(
        self, joint: Callable[..., ConditionResult], *claims: ConditionResult, line_: int
    ) -> ConditionResult:
        return joint(*claims)

    def _compare_count(
        self, count: ConditionResult | BikeCount, *sides: object, line_: int
    ) -> ConditionResult:
        if isinstance(count, ConditionResult):
            return count  # what was to be counted was written wrongly
        return self._claims.compare_count(count, *sides)

    def _open_block(self, budget: Budget, block: int, claim: ConditionResult, *, line_: int) -> str:
        budget.count_step(line_)
        self._open.append(len(self.runs))
        self.runs.append(BlockRun(block, line_, claim, self._wrong))
        self._wrong = False
        return format_opening(self._open[-1])

    def _close_block(self, *, line_: int) -> str:
        return format_closing(self._open.pop())
