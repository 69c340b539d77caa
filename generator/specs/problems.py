"""Problems a contributor can cause and can mend.

A problem is data: where, what is wrong, what would be right. Formatting comes last,
in the command line.

* ProblemsFound    raised by whoever cannot go on, carrying every problem of the run

Anything else that reaches the terminal is a defect of ours.
"""

from dataclasses import dataclass
from typing import Literal

Severity = Literal["error", "warning", "note"]
"""An error stops a build; a warning should be looked into; a note may stand for good."""


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong in one file, with its mend."""

    file: str
    """Path as the contributor would type it, relative to the publication's root."""
    line: int
    """Line, counted from 1; 0 when the problem is the whole file."""
    column: int
    """Column, counted from 1; 0 when the problem is the whole line."""
    what: str
    """What is wrong, one sentence without a full stop."""
    mend: str
    """What would be right, without a full stop at its end; a question keeps its mark."""
    severity: Severity = "error"

    def __str__(self) -> str:
        mark = "" if self.severity == "error" else f"{self.severity}: "
        return f"{self.file}:{self.line}:{self.column}: {mark}{self.sentences}"

    @property
    def sentences(self) -> str:
        """What is wrong and its mend, each with its full stop."""
        stop = "" if self.mend.endswith((".", "?")) else "."
        return f"{self.what}. {self.mend}{stop}"


class ProblemsFound(Exception):  # noqa: N818 - named for what the caller shows, not for a failure
    """Raised when work cannot go on; carries every problem found so far."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__("\n".join(map(str, sorted(problems))))
        self.problems = tuple(sorted(problems))
