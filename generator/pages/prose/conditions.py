"""The conditions of a running text: asked, joined, and kept with the block that they open."""

import inspect
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from generator.figures import show
from generator.pages.prose.claims import Claim, Claims, Count
from generator.pages.prose.holds_block import CONDITIONS, closing, opening
from generator.pages.prose.language import Budget, Fault
from generator.pages.prose.pieces import WrongError

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
class Run:
    """A block of live text that was run: what its condition claimed."""

    block: int
    """Number of the block in the body, from 0; in a loop one block runs many times."""
    line: int
    """Of the body."""
    claim: Claim
    wrong: bool
    """Was the condition written wrongly? Then that is told, and no more."""


class Asked:
    """What the blocks of one text have asked, in the order in which they ran."""

    def __init__(self, table: "FiguresTable", system: show.System, faults: list[Fault]) -> None:
        self.runs: list[Run] = []
        self._claims = Claims(table, system)
        self._faults = faults
        self._open: list[int] = []
        self._wrong = False

    def globals(self, budget: Budget) -> dict[str, Callable[..., object]]:
        """The words of conditions, their joints, and what `prose_holds` puts about each block."""
        claims = self._claims
        return {
            **{
                word: partial(self._ask, budget, word, getattr(claims, word)) for word in CONDITIONS
            },
            "all_": partial(self._join, claims.all_),
            "any_": partial(self._join, claims.any_),
            "not_": partial(self._join, claims.not_),
            "compared_": self._compared,
            "opened_": partial(self._opened, budget),
            "closed_": self._closed,
        }

    def _ask(
        self,
        budget: Budget,
        word: str,
        method: Callable[..., Claim | Count],
        *args: object,
        line_: int,
        **kwargs: object,
    ) -> Claim | Count:
        """A word of a condition; a wrong one is told, and claims nothing."""
        try:
            try:
                inspect.signature(method).bind(*args, **kwargs)
            except TypeError as error:
                what = f"{word}() has the wrong arguments: {error}"
                raise WrongError(what, f"Write {USAGE[word]}") from error
            return method(*args, **kwargs)
        except WrongError as wrong:
            self._faults.append(Fault(line_, wrong.what, wrong.mend, wrong.fragment))
            budget.wrong(line_)
            self._wrong = True
            return Claim(None, "", ())

    def _join(self, joint: Callable[..., Claim], *claims: Claim, line_: int) -> Claim:
        return joint(*claims)

    def _compared(self, count: Claim | Count, *sides: object, line_: int) -> Claim:
        if isinstance(count, Claim):
            return count  # what was to be counted was written wrongly
        return self._claims.compared(count, *sides)

    def _opened(self, budget: Budget, block: int, claim: Claim, *, line_: int) -> str:
        budget.step(line_)
        self._open.append(len(self.runs))
        self.runs.append(Run(block, line_, claim, self._wrong))
        self._wrong = False
        return opening(self._open[-1])

    def _closed(self, *, line_: int) -> str:
        return closing(self._open.pop())
